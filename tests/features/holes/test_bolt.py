"""The hole for a bolt comes from a table of a standard, or is asked back."""

from __future__ import annotations

import pytest

from crib.errors import AskBack, BadPhrase
from crib.features.holes.bolt import EXAMPLE, Bolt
from crib.features.registry import read_phrase
from tests.features.bench import IN, MM, mm


def bolt(text: str) -> Bolt:
    """A bolt's ask."""
    ask = read_phrase(text, MM if "mm" in text else IN)
    assert isinstance(ask, Bolt)
    return ask


@pytest.mark.parametrize(
    ("text", "shape", "width_mm", "length_mm"),
    [
        (EXAMPLE, "round", mm("13/16"), mm("13/16")),
        ("bolt 3/4in thru 1/2 A36", "round", mm("13/16"), mm("13/16")),
        ("bolt 3/4 oversize thru 1/2", "round", mm("15/16"), mm("15/16")),
        ("bolt 3/4 OVS thru 1/2", "round", mm("15/16"), mm("15/16")),
        ("bolt 3/4 short slot thru 1/2", "obround", mm("13/16"), mm("1")),
        ("bolt 3/4 SSL thru 1/2", "obround", mm("13/16"), mm("1")),
        ("bolt 3/4 long slot thru 1/2", "obround", mm("13/16"), mm("1-7/8")),
        ("bolt 3/4 standard hole thru 1/2", "round", mm("13/16"), mm("13/16")),
        ("bolt 1 per AISC 360-22 thru 1/2", "round", mm("1-1/8"), mm("1-1/8")),
        ("bolt 1 per aisc360-10 thru 1/2", "round", mm("1-1/16"), mm("1-1/16")),
        ("bolt M20 thru 12mm S355", "round", 22.0, 22.0),
        ("bolt m20 oversize thru 12mm S355", "round", 24.0, 24.0),
        ("bolt M 20 short slot thru 12mm S355", "obround", 22.0, 26.0),
        ("bolt M20 long thru 12mm S355", "obround", 22.0, 50.0),
        ("bolt M24 fine per ISO 273 thru 12mm", "round", 25.0, 25.0),
    ],
)
def test_the_hole_is_the_tables(text: str, shape: str, width_mm: float, length_mm: float) -> None:
    outline = bolt(text).outline
    assert (outline.shape, outline.width_mm, outline.length_mm) == (shape, width_mm, length_mm)


def test_a_bolt_whose_editions_differ_is_asked_back_with_a_phrase_to_type() -> None:
    with pytest.raises(AskBack, match="1-1/16 in 360-10, 1-1/8 in 360-16 and -22") as caught:
        read_phrase("bolt 1 thru 1/2 A36", IN)
    assert "`bolt 1 per AISC 360-22 thru 1/2`" in str(caught.value.way_out)


def test_a_bolt_between_the_rows_of_a_table_is_refused() -> None:
    with pytest.raises(BadPhrase, match="unknown bolt '11/16'"):
        read_phrase("bolt 11/16 thru 1/2", IN)


@pytest.mark.parametrize(
    ("text", "diameter_mm"),
    [("bolt 3/4 thru 1/2", mm("3/4")), ("bolt M20 thru 12mm", 20.0), ("bolt M24 thru 12mm", 24.0)],
)
def test_the_bolts_own_diameter_is_known_for_the_codes(text: str, diameter_mm: float) -> None:
    assert bolt(text).bolt_mm == diameter_mm


def test_the_answer_names_the_standard_that_gave_the_hole() -> None:
    made = bolt("bolt M20 thru 12mm S355").as_json()
    assert (made["bolt"], made["hole_type"], made["standard"]) == ("M20", "standard", "EN 1090-2")
    assert "EN 1090-2" in made["hole_source"]
    assert (made["feature"], made["size_mm"]) == ("bolt", 22.0)


def test_the_phrase_keeps_the_standard_so_that_an_edition_cannot_change_it() -> None:
    assert bolt("bolt M20 thru 12mm S355").phrase("mm") == ("bolt M20 per EN 1090-2 thru 12mm S355")
    assert bolt(EXAMPLE).phrase("in") == "bolt 3/4 per AISC 360 thru 1/2 A572-50"
