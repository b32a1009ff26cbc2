"""The shop's settings: listing them, and changing one with a reason."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.desk.book.shop_rules import LEGEND, change_rule, list_rules
from crib.errors import BadValue, CribError, UnknownName
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from tests.desk.rows import nothing_changes
from tests.shop import small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def test_every_setting_has_a_tag_of_the_legend_and_a_meaning(shop: Session) -> None:
    listed = list_rules(shop)
    tags = {tag for tag, _means in LEGEND}
    assert len(listed.rules) > 40
    assert all(one.tag in tags and one.meaning for one in listed.rules)
    assert not any(one.changed for one in listed.rules)


def test_a_beginning_of_the_key_is_enough(shop: Session) -> None:
    keys = [one.key for one in list_rules(shop, "GRIND.MOST").rules]
    assert keys == ["grind.most_total_mm", "grind.most_once_mm"]


def test_a_change_is_kept_with_who_and_why(shop: Session) -> None:
    change = change_rule(shop, "Wear.Plan", "0.650", "we plan early", by="nights")
    assert (change.key, change.before, change.value) == ("wear.plan", "0.7", "0.65")
    assert shop_rules(shop).number("wear.plan") == 0.65
    (line,) = list_rules(shop, "wear.plan").rules
    assert (line.changed, line.who, line.why) == (True, "nights", "we plan early")
    note = shop.value("SELECT note FROM entry WHERE action = 'rule'")
    assert note == "wear.plan: 0.7 -> 0.65; we plan early"


def test_a_figure_of_its_own_for_a_material(shop: Session) -> None:
    change_rule(shop, "material.s355jr.multiplier", "1.25", "certificates", by="nights")
    assert shop_rules(shop).material("S355").multiplier == 1.25
    assert [one.key for one in list_rules(shop, "material.S355").rules] == [
        "material.S355.multiplier"
    ]


@pytest.mark.parametrize(
    ("key", "value", "why", "error", "said"),
    [
        ("wear.plan", "0.65", " ", BadValue, "rule wear.plan: no reason given"),
        (
            "wear.planx",
            "0.65",
            "x",
            UnknownName,
            "unknown setting 'wear.planx'; nearest: wear.plan",
        ),
        ("wear.plan", "much", "x", BadValue, "wear.plan=much is not a number"),
        ("wear.plan", "3", "x", BadValue, "wear.plan=3 must be 0.3 to 1"),
        ("wear.plan", "0.95", "x", BadValue, "must be at most wear.after_job=0.9"),
        ("crib.unit", "feet", "x", BadValue, "crib.unit=feet must be one of: in, mm"),
    ],
)
def test_a_wrong_change_is_refused_and_changes_nothing(
    shop: Session, key: str, value: str, why: str, error: type[CribError], said: str
) -> None:
    with nothing_changes(shop), pytest.raises(error, match=said):
        change_rule(shop, key, value, why, by="nights")


@pytest.mark.parametrize("by", ["", "  "])
def test_a_change_needs_the_name_of_somebody(shop: Session, by: str) -> None:
    with nothing_changes(shop), pytest.raises(BadValue, match=r"rule wear\.plan: nobody's name"):
        change_rule(shop, "wear.plan", "0.6", "early", by=by)


def test_a_value_of_before_counts_as_the_nearest_within_todays_limits(shop: Session) -> None:
    """A crib may hold what was allowed once: 0.1 let a 120 t hole pass at 12."""
    with shop.writing():
        for key, value in (
            ("material.A36.multiplier", "0.1"),
            ("force.caution_load", "1"),
            ("punch.stress_refuse_mpa", "2500"),
            ("force.bevel_credit", "0.6"),
        ):
            values = {"key": key, "value": value, "person_id": 1, "changed_at": "2026-01-01"}
            shop.add("shop_rule", {**values, "why": "once"})
    rules = shop_rules(shop)
    assert rules.material("A36").multiplier == 0.85
    assert rules.number("force.caution_load") == 0.95
    assert rules.number("punch.stress_refuse_mpa") == 2000


def test_two_that_would_cross_by_that_go_back_to_their_defaults(shop: Session) -> None:
    with shop.writing():
        for key, value in (("wear.plan", "1.9"), ("wear.after_job", "1.95"), ("wear.dry", "9")):
            values = {"key": key, "value": value, "person_id": 1, "changed_at": "2026-01-01"}
            shop.add("shop_rule", {**values, "why": "once"})
    rules = shop_rules(shop)
    assert (rules.number("wear.plan"), rules.number("wear.after_job")) == (0.7, 0.9)
    assert rules.number("wear.dry") == 4


def test_a_key_that_is_not_there_or_not_set_is_told_apart(shop: Session) -> None:
    with pytest.raises(UnknownName, match="unknown setting 'zzz'"):
        list_rules(shop, "zzz")
    with pytest.raises(UnknownName, match=r"no figure of its own for material.S355.multiplier"):
        list_rules(shop, "material.S355.multiplier")
