"""An answer names every changed rule that it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import closing
from functools import cache
from typing import Any

import pytest

from crib.desk.answer.find import Found, find_each
from crib.desk.answer.lookup import Lookup
from crib.errors import BadValue, CribError
from crib.features.common.case import Circumstances
from crib.stock.engine.session import Session
from crib.trade.common.published_tables import read_table
from crib.trade.metal.materials import CHANGEABLE, change_limits, find_material
from crib.trade.shop.shop_rules import Rules
from tests.demo_crib import demo_crib
from tests.desk.asks import ask, rule

_ASKS = (
    "hole 13/16 thru 3/8 A36",
    "hole 9/16 thru 1/2 A572-50",
    "hole 5/8 thru 1/2 304",
    "bolt 3/4 thru 1/2",
    "slot 13/16 x 1-7/8 thru 3/8 edge 1",
    "notch 7 x 3 thru 1/4 A36",
    "saddle 1-1/2 pipe sch 40",
    "cut flat 4 x 1/2 at 45",
    "bend 10 x 1/4 at 90",
    "hole 5/16 thru 3/8 A36",
)
_FACTS = Circumstances(quantity=2500, appearance="finish")
_ALL = [(one, facts) for one in _ASKS for facts in (Circumstances(), _FACTS)]
_OWN = "crib."
_ELSEWHERE = ("buy.", "make.", "shift.", "log.", "kit.", "due.", "plan.", "life.")
"""How the keys begin of what no find looks at; they are moved together."""


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    with closing(demo_crib(tmp_path_factory.mktemp("inch") / "demo.crib")) as made:
        yield made


def _others(row: Mapping[str, str]) -> list[str]:
    """What else a rule may be set to: its limits, or another of its choices."""
    if row["kind"] in ("number", "whole"):
        return [value for value in (row["least"], row["most"]) if float(value) != _number(row)]
    if row["kind"] == "choice":
        return [value for value in row["choices"].split("|") if value != row["value"]]
    return ["A572-50"] if row["kind"] == "material" else []


def _number(row: Mapping[str, str]) -> float:
    return float(row["value"])


@cache
def _changes() -> tuple[tuple[str, str], ...]:
    ruled = [row for row in read_table("shop_rules") if not row["key"].startswith(_OWN)]
    figures = [
        (f"material.{name}.{field.replace('tool_life_clearance_pct', 'clearance_pct')}", str(limit))
        for name in ("A36", "A572-50", "304")
        for field in CHANGEABLE
        for limit in change_limits(find_material(name), field)
    ]
    return (*((row["key"], value) for row in ruled for value in _others(row)), *figures)


def _told(answer: Found | CribError) -> Any:
    """What an answer comes to: its pieces and verdicts in their order, its orders, its misses."""
    if isinstance(answer, CribError):
        return answer.message
    shown = answer.picks or answer.near_misses
    return (
        [
            (
                one.tooling.station.label,
                [tool.tag for tool in one.tools],
                sorted((finding.rule, finding.verdict) for finding in one.findings),
                round(one.figures.get("load", 0.0), 6),
            )
            for one in shown
        ],
        [line.text for line in answer.order],
    )


def _answers(session: Session, rules: Rules) -> list[Found | CribError]:
    return find_each(Lookup(session, rules), _ALL)


@pytest.mark.slow
@pytest.mark.parametrize("every", [6, pytest.param(1, marks=pytest.mark.audit)])
def test_a_rule_that_changes_an_answer_is_among_those_it_names(demo: Session, every: int) -> None:
    """Rules to their limits or their other choices, one at a time, over a set of asks.

    One in six of the changes in every run, all of them in the long one.
    """
    plain = _answers(demo, Rules.defaults())
    assert all(isinstance(one, Found) and one.rests_on == () for one in plain)
    together = {key: value for key, value in _changes() if key.startswith(_ELSEWHERE)}
    others = _answers(demo, Rules.defaults().with_changes(together))
    assert [_told(one) for one in plain] == [_told(one) for one in others]
    governed = set()
    for key, value in [one for one in _changes() if one[0] not in together][::every]:
        try:
            rules = Rules.defaults().with_changes({key: value})
        except BadValue:
            continue  # it would cross another one
        for before, after in zip(plain, _answers(demo, rules), strict=True):
            if _told(before) != _told(after) and isinstance(after, Found):
                governed.add(key)
                assert key in [one.key for one in after.rests_on], (key, value, after.phrase)
    assert len(governed) > 25 // every


@pytest.mark.parametrize(
    ("key", "value", "phrase", "named"),
    [
        ("force.caution_load", "0.5", "hole 13/16 thru 3/8 A36", True),
        ("material.A36.multiplier", "1.25", "hole 13/16 thru 3/8 A36", True),
        ("material.A36.multiplier", "1.25", "hole 13/16 thru 3/8", True),
        ("material.304.multiplier", "1.6", "hole 13/16 thru 3/8 A36", False),
        ("material.default", "A572-50", "hole 13/16 thru 3/8", True),
        ("material.default", "A572-50", "hole 13/16 thru 3/8 A36", False),
        ("bolt.standard_metric", "ISO 273", "bolt M20 thru 1/2", True),
        ("edge.prefer_t", "2", "bend 10 x 1/4 at 90", False),
        ("buy.order_cents", "100", "hole 13/16 thru 3/8 A36", False),
    ],
)
def test_a_changed_rule_is_named_where_it_was_looked_at(
    demo: Session, key: str, value: str, phrase: str, named: bool
) -> None:
    (answer,) = find_each(
        Lookup(demo, Rules.defaults().with_changes({key: value})), [(phrase, Circumstances())]
    )
    assert isinstance(answer, Found)
    assert (key in [one.key for one in answer.rests_on]) is named


def test_one_of_several_asks_names_no_rule_of_the_others(demo: Session) -> None:
    changes = {"material.304.multiplier": "1.6", "edge.prefer_t": "2"}
    asks = ["hole 13/16 thru 1/4 304", "bend 10 x 1/4 at 90", "hole 13/16 thru 1/4 A36 edge 2"]
    lookup = Lookup(demo, Rules.defaults().with_changes(changes))
    found = find_each(lookup, [(one, Circumstances()) for one in asks])
    named = [[rule.key for rule in one.rests_on] for one in found if isinstance(one, Found)]
    assert named == [["material.304.multiplier"], [], ["edge.prefer_t"]]


def test_the_answer_for_programs_has_value_and_default(tmp_path_factory: Any) -> None:
    with closing(demo_crib(tmp_path_factory.mktemp("own") / "demo.crib")) as shop:
        rule(shop, "force.caution_load", "0.6")
        told = ask(shop).as_json()["changed_rules"]
        assert told == [
            {"key": "force.caution_load", "value": "0.6", "default": "0.8", "unit": "-"}
        ]
