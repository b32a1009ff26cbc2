"""The cautions name what must not be missing, and whom they defer to."""

from __future__ import annotations

import pytest

from crib.desk.common.cautions import PAGE, SHORT, read_cautions


def whole_page() -> str:
    return " ".join(line for section in PAGE for line in (section.heading, *section.lines))


@pytest.mark.parametrize(
    "words",
    [
        "29 CFR 1910.147",
        "29 CFR 1910.212",
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


def test_the_short_form_is_three_lines_that_fit_a_screen_and_defer_to_the_maker() -> None:
    assert len(SHORT) == 3
    assert all(len(line) <= 76 for line in SHORT)
    assert "manual" in SHORT[-1]


def test_the_page_holds_the_short_form_and_every_section() -> None:
    page = read_cautions()
    assert page.short == SHORT
    assert page.sections == PAGE
    assert all(section.lines for section in page.sections)
