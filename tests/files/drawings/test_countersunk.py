"""Countersunk holes of drawings: two circles round one middle, and the letter of a BO line."""

from __future__ import annotations

import pytest
from ezdxf.filemanagement import new
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.features.registry import read_phrase
from crib.files.drawings.parts import phrase_of
from tests.features.bench import MM
from tests.files import dxf_text
from tests.files.nc1_text import holes, nc1, only


@given(
    places=st.lists(
        st.tuples(
            st.integers(min_value=0, max_value=5),
            st.floats(min_value=6, max_value=20),
            st.floats(min_value=1.05, max_value=4.0),
        ),
        min_size=1,
        max_size=6,
        unique_by=lambda place: place[0],
    )
)
@settings(max_examples=25, deadline=None)
def test_two_circles_round_one_middle_are_one_hole(
    places: list[tuple[int, float, float]],
) -> None:
    """Up to 2.6 times the hole; beyond that both stay, and are refused as they overlap."""
    document = dxf_text.plate(700.0, 100.0)
    for cell, size, times in places:
        for diameter in (size, times * size):
            middle = (60.0 + 100 * cell, 50.0)
            document.modelspace().add_circle(middle, diameter / 2)
    found = dxf_text.read(document)
    (part,), (account,) = found.parts, found.accounts
    sunk = [one for one in part.features if one.countersink_mm is not None]
    wanted = [(size, times) for _, size, times in places if times <= 2.6]
    assert len(sunk) == len(wanted)
    assert len(part.features) == len(wanted) + 2 * (len(places) - len(wanted))
    assert account.sums()["counted"] == account.sums()["met"]
    for one in sunk:
        ask = read_phrase(phrase_of(one, "S275", "mm"), MM)
        assert ask.as_json()["second_operation"]["countersink"]["across_mm"] > one.size_mm
        assert one.note == ""
    assert ("read as countersunk" in "".join(n.text for n in found.notes)) == bool(wanted)


def test_three_circles_round_one_middle_stay_as_they_are() -> None:
    document = dxf_text.plate(200.0, 100.0)
    for radius in (9, 17, 20):
        document.modelspace().add_circle((60.0, 50.0), radius)
    assert [one.countersink_mm for one in dxf_text.only(document).features] == [None] * 3


@pytest.mark.parametrize("line", ["  v 50u 40s 18 0.00", "  v 50u 40 18 0.00s"])
def test_a_countersunk_hole_of_an_nc_file_asks_for_it(line: str) -> None:
    (one,) = only(nc1(holes(line))).features
    assert one.countersink_mm == 0.0
    assert phrase_of(one, "S275", "mm") == "hole 18mm countersunk thru 12mm S275"
    assert one.as_json()["countersink_mm"] == 0.0
    (plain,) = only(nc1(holes("  v 50u 40 18 0.00"))).features
    assert "countersink_mm" not in plain.as_json()


def test_a_disc_with_a_hole_may_be_a_countersunk_hole_and_is_told() -> None:
    """Alone it is a part of its own, and what else it may be is said; a wide flange is a disc."""
    for radius, said in ((17, True), (60, False)):
        document = new("R2010", units=4)
        document.modelspace().add_circle((60.0, 50.0), 9)
        document.modelspace().add_circle((60.0, 50.0), radius)
        found = dxf_text.read(document)
        assert [one.size_mm for one in found.parts[0].features] == [18.0]
        told = "a countersunk hole of another part looks the same"
        assert any(told in note.text for note in found.notes) == said
