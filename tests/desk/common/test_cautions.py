"""The cautions name what must not be missing, for each work its own, and whom they defer to."""

from __future__ import annotations

from itertools import product

import pytest

from crib.desk.common.caution_page import DEFER, WORKS, Work
from crib.desk.common.cautions import (
    all_cautions,
    is_heavy,
    read_cautions,
    set_up_checks,
    short_cautions,
    station_work,
)
from crib.words import STATION_WORK

OWN_WORDS: dict[Work, tuple[str, ...]] = {
    "punch": ("nut", "key seated", "stripper", "half off the edge", "slug", "first hits", "bigger"),
    "shear": ("hold-down", "drop", "hardened bar", "Blade bolts"),
    "notch": ("springs up", "stops"),
    "bend": ("back gauge", "whips up", "vee"),
    "saddle": ("nest", "scribed line", "razor sharp"),
    "picket": ("Solid mild bar", "turns in the hand"),
    "attachment": ("maker's sheet",),
    "grind": ("no crack", "1910.215", "work rest", "blue edge", "dust"),
    "turn": ("block the ram", "torque", "gap"),
    "broken": ("fragments", "pry bar", "hammer"),
    "heavy": ("two people or a lift", "on its edge"),
    "hand_out": ("chipped or cracked", "covered"),
}
ONLY: dict[str, tuple[Work, ...]] = {
    "nut": ("punch",),
    "key seated": ("punch",),
    "stripper": ("punch", "broken"),
    "hold-down": ("shear",),
    "whips": ("bend",),
    "gauge": ("bend",),
    "vee": ("bend",),
    "wheel": ("grind",),
    "blade": ("shear", "turn"),
    "nest": ("saddle",),
}
"""Words that would be wrong under another work."""


def whole_page() -> str:
    sections = read_cautions().sections
    return " ".join(line for one in sections for line in (one.heading, *one.lines))


@pytest.mark.parametrize(
    "words",
    [
        "29 CFR 1910.147",
        "29 CFR 1910.212",
        "29 CFR 1910.215",
        "ANSI B11.5",
        "manual",
        "guards",
        "local codes",
        "licensed",
        "Eye protection",
        "Stand aside",
        "stripper gap",
        "Inch down without stock",
        "Unknown plate",
        "engineer",
        "bigger than the punch",
    ],
)
def test_the_page_speaks_of_each_danger(words: str) -> None:
    assert words in whole_page()


@pytest.mark.parametrize(("work", "words"), OWN_WORDS.items())
def test_each_work_speaks_of_its_own_dangers_on_paper(work: Work, words: tuple[str, ...]) -> None:
    lines = " ".join(all_cautions([work]))
    assert [word for word in words if word.casefold() not in lines.casefold()] == []
    assert all(line in whole_page() for line in all_cautions([work]))


@pytest.mark.parametrize("work", WORKS)
def test_each_work_has_three_lines_that_fit_a_screen_and_defer_to_the_maker(work: Work) -> None:
    lines = short_cautions([work])
    assert len(lines) == 3
    assert all(len(line) <= 76 for line in lines)
    assert lines[-1] == DEFER
    assert "manual" in DEFER


@pytest.mark.parametrize(("word", "work"), list(product(ONLY, WORKS)))
def test_no_work_is_told_of_another_s_dangers(word: str, work: Work) -> None:
    said = " ".join((*short_cautions([work])[:2], *all_cautions([work]), *set_up_checks(work)))
    plain = [one.strip(".,;:") for one in said.casefold().split()]
    named = word in plain if " " not in word else word in said.casefold()
    named |= any(one.startswith(word) for one in plain) if len(word) > 4 else False
    assert not named or work in ONLY[word]


def test_two_works_together_say_what_both_do_and_defer_once() -> None:
    lines = short_cautions(["punch", "bend", "punch"])
    assert len(lines) == 4
    assert lines[-1] == DEFER
    assert {*short_cautions(["punch"]), *short_cautions(["bend"])} == {*lines}


@pytest.mark.parametrize("does", STATION_WORK)
def test_every_station_has_the_cautions_of_its_work(does: str) -> None:
    assert short_cautions([station_work(does)])
    assert set_up_checks(station_work(does))
    assert does.endswith("shear") is (station_work(does) == "shear")


@pytest.mark.parametrize(
    ("role", "width_mm", "heavy"),
    [
        ("die", 59.9, False),
        ("die", 60.0, True),
        ("die", None, False),
        ("punch", 80.0, False),
        ("set", None, True),
        ("blade", None, True),
        ("brake_tool", None, True),
        ("attachment", None, True),
        ("nut", None, False),
    ],
)
def test_what_is_lifted_with_two_is_known(role: str, width_mm: float | None, heavy: bool) -> None:
    assert is_heavy(role, width_mm) is heavy


def test_the_page_holds_every_work_s_three_lines_and_every_section() -> None:
    page = read_cautions()
    assert set(page.by_work) == set(WORKS)
    assert all(len(lines) == 3 for lines in page.by_work.values())
    assert all(section.lines for section in page.sections)
    assert len({section.heading for section in page.sections}) == len(page.sections)
