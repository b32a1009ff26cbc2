"""What is meant by a name that somebody types: all of it, or whole words that no other has."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import UnknownName
from crib.stock.book.names import name_meant, same_name

MACHINES = ["Ironworker 1 (north bay)", "Ironworker 12", "Ironworker 2 (north wall)", "Bar-Press"]


def meant(said: str, known: list[str] | None = None) -> str:
    return name_meant(said, known or MACHINES, "no machine called", "look again")


@pytest.mark.parametrize(
    ("said", "machine"),
    [
        ("Ironworker 1 (north bay)", "Ironworker 1 (north bay)"),
        ("IRONWORKER1(northbay)", "Ironworker 1 (north bay)"),
        ("  ironworker  1  north bay ", "Ironworker 1 (north bay)"),
        ("Ironworker 1", "Ironworker 1 (north bay)"),
        ("ironworker1", "Ironworker 1 (north bay)"),
        ("north bay", "Ironworker 1 (north bay)"),
        ("1", "Ironworker 1 (north bay)"),
        ("12", "Ironworker 12"),
        ("wall", "Ironworker 2 (north wall)"),
        ("barpress", "Bar-Press"),
        ("bar", "Bar-Press"),
    ],
)
def test_a_name_is_meant_by_all_of_it_or_by_words_of_its_own(said: str, machine: str) -> None:
    assert meant(said) == machine


@pytest.mark.parametrize("said", ["Ironworker", "north", "ironworker ", "NORTH"])
def test_words_of_several_names_are_asked_back_with_these_names(said: str) -> None:
    with pytest.raises(UnknownName, match=r"^'\w+' can be Ironworker 1 \(north bay\), ") as caught:
        meant(said)
    assert caught.value.way_out == "say more of its name"
    assert "Bar" not in caught.value.message


@pytest.mark.parametrize(
    "said", ["Ironworker 3", "iron", "orker 1", "bay north", "2 north bay", "("]
)
def test_part_of_a_word_or_words_in_another_order_mean_nothing(said: str) -> None:
    with pytest.raises(UnknownName, match=r"no machine called .*; known: Ironworker 1") as caught:
        meant(said)
    assert caught.value.way_out == "look again"


def test_another_number_is_another_machine() -> None:
    with pytest.raises(UnknownName, match="no machine called 'Ironworker 1'; known: Ironworker 12"):
        meant("Ironworker 1", ["Ironworker 12"])


def test_a_whole_name_goes_before_the_same_words_of_a_longer_one() -> None:
    assert meant("press 1", ["Press 1 left", "Press 1"]) == "Press 1"
    assert meant("IW 1", ["IW1", "IW 1"]) == "IW 1"
    with pytest.raises(UnknownName, match="'iw-1' can be IW1, IW 1"):
        meant("iw-1", ["IW1", "IW 1"])


def test_of_many_names_the_first_are_listed() -> None:
    with pytest.raises(UnknownName, match=r"known: M0, .*, M11 and 3 more"):
        meant("X", [f"M{number}" for number in range(15)])
    with pytest.raises(UnknownName, match="known: none yet"):
        name_meant("X", [], "no machine called")


NAMES = st.text(st.characters(categories=["L", "N", "Zs"]), min_size=1, max_size=12)


@given(st.lists(NAMES.filter(str.strip), min_size=1, max_size=6, unique=True), st.data())
def test_every_name_is_meant_by_itself(known: list[str], data: st.DataObject) -> None:
    stripped = list(dict.fromkeys(name.strip() for name in known))
    name = data.draw(st.sampled_from(stripped))
    assert name_meant(name, stripped, "no machine called") == name
    assert same_name(name, f" {name.upper().lower()} ") or not name.isascii()
