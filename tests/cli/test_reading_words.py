"""What becomes of a line of a part file, as both doors put it."""

from __future__ import annotations

from typing import Any

import pytest

from crib.acts import fact
from crib.cli.wording import worded
from crib.wording.sayings import codes

SAID: list[tuple[str, dict[str, Any], str]] = [
    ("balloon", {}, "a balloon, no hole"),
    ("block-not-read", {"block": "PU"}, "block PU says nothing of openings"),
    ("column-unknown", {}, "a column that is not known"),
    ("cope", {}, "a cope, not a notch"),
    ("drawn-twice", {}, "drawn over another"),
    ("edge-not-read", {}, "not recognised at the edge"),
    ("entity-broken", {}, "broken"),
    ("entity-not-read", {"layer": "A", "why": "dashed"}, "drawn with gaps, on layer 'A'"),
    ("entity-not-read", {"layer": "A", "why": "mesh"}, "not read, on layer 'A'"),
    ("file-not-read", {"code": "bad-input"}, "not read (bad-input)"),
    ("frame", {}, "the frame of the sheet"),
    ("header-not-used", {"name": "weight"}, "weight: no number, and not used"),
    ("header-too-long", {}, "beyond the header's last line"),
    ("hidden", {}, "hidden"),
    ("letter-unknown", {"letters": "q"}, "letter 'q' is not known"),
    ("merged-cell", {}, "one with the merged cell above"),
    ("no-part-file", {}, "no part file"),
    ("numbers-left", {"count": 1}, "1 number too many"),
    ("numbers-left", {"count": 3}, "3 numbers too many"),
    ("opening-unknown", {}, "an opening that no punch makes"),
    ("outline-not-read", {}, "an outline that is not recognised"),
    ("outside-of-a-piece", {}, "outside of a piece"),
    ("paper-sheet", {"count": 4}, "a sheet of paper, not the model, 4 entities"),
    ("punch-mark", {}, "a punch mark, no hole"),
    ("same-opening", {"line": 12}, "the same opening as in line 12"),
    ("same-part", {"file": "a.nc1"}, "the same part as in a.nc1"),
    ("sheet-not-read", {}, "another sheet than the first"),
    ("stamp-not-read", {}, "stamped text that is not read"),
    ("title", {}, "above the heading"),
    ("title-block", {}, "a field of the title block"),
    ("view", {}, "another view of the part"),
    ("view-unknown", {"view": "x"}, "view 'x' is not known"),
    ("words", {"words": "4X"}, "words, which count nothing: '4X'"),
]


@pytest.mark.parametrize(("code", "figures", "text"), SAID)
def test_a_line_is_told_in_these_words(code: str, figures: dict[str, Any], text: str) -> None:
    assert worded(fact(f"read.{code}", **figures)) == text


def test_every_fact_of_reading_is_among_these() -> None:
    said = {f"read.{code}" for code, _figures, _text in SAID}
    assert said == {code for code in codes() if code.startswith("read.")}
