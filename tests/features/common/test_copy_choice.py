"""Which copy a job should wear: the one that lasts, or several in an order, at whole parts."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from crib.features.common.case import Circumstances
from crib.features.common.copy_choice import judge_copies
from crib.features.common.tooling import Tool
from tests.features.bench import tool


def copy(tag: str, wear: float) -> Tool:
    """A punch that lasts 5,000, so much of it used."""
    return replace(tool("punch", 20.0), tag=tag, wear=wear)


def said(*wears: float, each: float = 1.0, **facts: Any) -> str:
    """What is said of copies P-0, P-1, ..., the first of them taken."""
    copies = [copy(f"P-{number}", wear) for number, wear in enumerate(wears)]
    circumstances = Circumstances(**{"quantity": 1200, **facts})
    found = judge_copies(copies[0], copies[1:], each, circumstances, "hole")
    assert found is None or (found.rule, found.verdict) == ("copies", "ok")
    return found.text if found else ""


def test_one_copy_or_one_hole_leaves_no_choice() -> None:
    assert said(4100) == ""
    assert said(4100, 0, quantity=1) == ""


@pytest.mark.parametrize(
    ("others", "appearance", "best"),
    [
        ((0.0, 3000.0, 3801.0), "rough", "P-2 (60 % used)"),
        ((0.0, 3000.0, 3800.0), "any", "P-3 (76 % used)"),
        ((0.0, 3000.0, 3801.0), "finish", "P-1 (0 % used)"),
    ],
)
def test_the_copy_that_lasts_is_named(
    others: tuple[float, ...], appearance: str, best: str
) -> None:
    """1,200 strokes of weight 1: 3,800 and no more may be on an edge that lasts them."""
    text = said(4100, *others, appearance=appearance)
    assert text.startswith(f"{best} lasts the whole job: use it instead")
    assert text.endswith(f", or P-0 to hole 900 and {best[:3]} from there")


def test_a_dull_copy_is_not_worn_on() -> None:
    assert said(5200, 0) == "P-1 (0 % used) lasts the whole job: use it instead"


def test_the_change_is_at_a_whole_part() -> None:
    assert "P-0 to hole 896 and P-1 from there" in said(4100, 0, per_part=16)


@pytest.mark.parametrize(
    ("wears", "facts", "order"),
    [
        ((4100, 4300), {}, "P-1 to hole 700, then P-0 to hole 1,200"),
        ((4100, 4300), {"appearance": "finish"}, "P-0 to hole 900, then P-1 to hole 1,200"),
        ((4100, 4300), {"per_part": 16}, "P-1 to hole 688, then P-0 to hole 1,200"),
        ((4100, 4300, 4500, 5000), {}, "P-1 to hole 700, then P-0 to hole 1,200"),
        (
            (4600, 4500, 4700),
            {},
            "P-2 to hole 300, then P-0 to hole 700, then P-1 to hole 1,200",
        ),
    ],
)
def test_as_few_as_do_it_together_are_put_in_order(
    wears: tuple[float, ...], facts: dict[str, Any], order: str
) -> None:
    assert said(*wears, **facts) == f"in this order: {order}"


def test_what_is_left_after_all_of_them_is_said() -> None:
    text = "in this order: P-1 to hole 300, then P-0 to hole 840"
    assert said(4100, 4500, each=5 / 3) == (
        f"{text}; then 360 are left: have one ground in between"
    )


@pytest.mark.parametrize("other", [5000.0, 6000.0])
def test_a_copy_that_is_dull_is_no_help(other: float) -> None:
    assert said(4100, other) == ""


@pytest.mark.parametrize(
    ("wears", "appearance", "text"),
    [
        ((3000, 0), "rough", "P-0 lasts and is worn already: it saves P-1"),
        ((3000, 0), "any", "P-0 lasts and is worn already: it saves P-1"),
        ((0, 3000), "finish", "P-0 is sharper than P-1, which stays for rough work"),
        ((0, 3000), "rough", ""),
        ((3000, 0), "finish", ""),
        ((3000, 3000), "any", ""),
    ],
)
def test_of_two_that_last_the_better_is_told_apart(
    wears: tuple[float, ...], appearance: str, text: str
) -> None:
    assert said(*wears, quantity=300, appearance=appearance) == text
