"""The shop's settings: their defaults, limits, ways of writing and changes."""

from __future__ import annotations

import ast
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue, UnknownName
from crib.trade.common.published_tables import read_table
from crib.trade.life.wear import LevelLimits, SeverityRules
from crib.trade.metal.bolt_holes import known_standards
from crib.trade.metal.clearance import ClearanceBands
from crib.trade.metal.hole_method import known_codes
from crib.trade.metal.materials import find_material
from crib.trade.shop.shop_rules import WITHDRAWN, Rules, canonical_key, check_rule
from tests.house import sources, texts

_ROWS = read_table("shop_rules")
_KEYS = [row["key"] for row in _ROWS]
_RANGED = [row for row in _ROWS if row["least"]]


@pytest.mark.parametrize("key", _KEYS)
def test_every_default_stands_as_it_would_be_kept(key: str) -> None:
    default = Rules.defaults().text(key)
    if key != "code.default":
        assert check_rule(key, default) == default
    assert check_rule("code.default", "") == ""


@pytest.mark.parametrize("row", _ROWS, ids=_KEYS)
def test_every_setting_is_described(row: dict[str, str]) -> None:
    assert row["tag"] in {"J", "C", "CP", "HB", "STD"}
    words = {
        "choice",
        "text",
        "currency",
        "material",
        "names",
        "address",
        "work_days",
        "closed_days",
    }
    assert row["kind"] in {"number", "whole"} | words
    assert row["meaning"]
    assert row["unit"]
    assert (row["kind"] in {"number", "whole"}) == bool(row["least"] and row["most"])
    assert (row["kind"] == "choice") == bool(row["choices"])


@pytest.mark.parametrize("row", _RANGED, ids=[row["key"] for row in _RANGED])
def test_a_number_may_go_to_its_limits_and_no_further(row: dict[str, str]) -> None:
    key, least, most = row["key"], float(row["least"]), float(row["most"])
    assert float(check_rule(key, row["least"])) == least
    assert float(check_rule(key, row["most"])) == most
    for outside in (least - 1, most + 1):
        with pytest.raises(BadValue, match=f"{key}=.* must be {row['least']} to {row['most']}$"):
            check_rule(key, str(outside))


def test_a_list_is_kept_one_way_and_may_be_empty() -> None:
    assert check_rule("read.ignore_layers", " DIM*,, Centre  lines ,") == "DIM*, Centre lines"
    assert check_rule("read.ignore_layers", "") == ""
    rules = Rules.defaults().with_changes({"read.ignore_layers": "a,b c"})
    assert rules.names("read.ignore_layers") == ("a", "b c")
    assert rules.with_changes({"read.ignore_layers": ""}).names("read.ignore_layers") == ()


@pytest.mark.parametrize("text", ["x" * 201, "a\x07b"])
def test_a_list_that_cannot_be_kept_is_refused(text: str) -> None:
    with pytest.raises(BadValue, match="at most 200 letters on one line"):
        check_rule("read.ignore_layers", text)


def test_the_working_days_are_read_before_they_are_kept() -> None:
    assert check_rule("shift.work_days", "monday-thu,SAT") == "Mon-Thu, Sat"
    assert check_rule("shift.closed_days", "2026-12-24 to 2026-12-26") == "2026-12-24 to 2026-12-26"
    with pytest.raises(BadValue, match="'Fry' is not a day of the week"):
        check_rule("shift.work_days", "Mon-Fry")
    with pytest.raises(BadValue, match=r"'24\.12\.' is not a date"):
        check_rule("shift.closed_days", "24.12.")


@pytest.mark.parametrize("text", ["", "abc", "0,8", "80 %", "nan", "inf", "1/2"])
def test_what_is_not_a_number_is_refused(text: str) -> None:
    with pytest.raises(BadValue, match="is not a number"):
        check_rule("force.caution_load", text)


def test_a_count_must_be_whole() -> None:
    assert check_rule("due.most_lines", "7.0") == "7"
    with pytest.raises(BadValue, match=r"due\.most_lines=5\.5 must be a whole number"):
        check_rule("due.most_lines", "5.5")


@pytest.mark.parametrize(
    ("key", "written", "kept"),
    [
        ("crib.unit", "MM", "mm"),
        ("crib.force_unit", "kn", "kN"),
        ("crib.force_unit", "US Tons", "US tons"),
        ("crib.currency", " eur ", "EUR"),
        ("crib.name", "  North   bay  ", "North bay"),
        ("material.default", "s275jr", "S275"),
        ("bolt.standard_inch", "aisc 360-22", "AISC 360-22"),
        ("code.default", "en 1090-2", "EN 1090-2"),
        ("force.caution_load", "0.750", "0.75"),
        ("Wear.Plan", "0.6", "0.6"),
        ("material.a36.multiplier", "1.250", "1.25"),
    ],
)
def test_a_value_is_kept_in_its_one_way_of_writing(key: str, written: str, kept: str) -> None:
    assert check_rule(key, written) == kept


@pytest.mark.parametrize(
    ("key", "written", "message"),
    [
        ("crib.unit", "cm", "crib.unit=cm must be one of: in, mm"),
        ("crib.force_unit", "tons", "must be one of: US tons, tonnes, UK tons, kN"),
        ("crib.currency", "$", "must be three letters, such as USD"),
        ("crib.name", "   ", "must be 1 to 60 letters"),
        ("crib.name", "x" * 61, "must be 1 to 60 letters"),
        ("material.A36.multiplier", "40", "must be 0.85 to 1.6"),
        ("material.A36.clearance_pct", "4", "must be 9 to 27"),
    ],
)
def test_a_value_that_cannot_stand_is_refused(key: str, written: str, message: str) -> None:
    with pytest.raises(BadValue, match=message):
        check_rule(key, written)


@pytest.mark.parametrize(
    "key",
    ["", "force", "force.caution", "material.A36", "material..multiplier", "material.A36.density"],
)
def test_an_unknown_setting_is_refused(key: str) -> None:
    with pytest.raises(UnknownName, match="unknown setting"):
        check_rule(key, "1")


def test_the_nearest_settings_are_named() -> None:
    with pytest.raises(UnknownName, match=r"nearest: force\.caution_load"):
        canonical_key("force.caution_lod")


def test_a_figure_of_an_unknown_material_is_refused() -> None:
    with pytest.raises(UnknownName, match="unknown material 'A63'"):
        check_rule("material.A63.multiplier", "1.1")


def test_an_unknown_default_material_is_refused() -> None:
    with pytest.raises(UnknownName, match="unknown material 'cheese'"):
        check_rule("material.default", "cheese")


def test_changes_are_laid_over_the_defaults() -> None:
    rules = Rules.defaults().with_changes({"force.caution_load": "0.7", "crib.unit": "mm"})
    assert rules.number("force.caution_load") == 0.7
    assert rules.text("crib.unit") == "mm"
    assert rules.number("wear.plan") == 0.7
    assert Rules.defaults().number("force.caution_load") == 0.8


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_crib_has_one_unit(unit: str) -> None:
    assert Rules.defaults().with_changes({"crib.unit": unit}).system == unit


def test_later_changes_win() -> None:
    rules = Rules.defaults().with_changes({"wear.plan": "0.6"}).with_changes({"wear.plan": "0.5"})
    assert rules.number("wear.plan") == 0.5


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"clearance.tight_below_pct": "4"}, "refuse_below_pct=5 must be at most"),
        ({"punch.stress_ok_mpa": "1700"}, "stress_ok_mpa=1700 must be at most"),
        ({"wear.plan": "0.95"}, "wear.plan=0.95 must be at most wear.after_job=0.9"),
        ({"wear.no_finish": "1.1"}, "wear.defer_to=1.15 must be at most wear.no_finish=1.1"),
        ({"grind.most_total_mm": "0.5"}, "grind.most_once_mm=1 must be at most"),
    ],
)
def test_limits_that_belong_together_stay_in_order(changes: dict[str, str], message: str) -> None:
    with pytest.raises(BadValue, match=message):
        Rules.defaults().with_changes(changes)


def test_limits_that_belong_together_may_move_together() -> None:
    rules = Rules.defaults().with_changes({"wear.plan": "0.92", "wear.after_job": "0.95"})
    assert rules.number("wear.after_job") == 0.95


def test_a_word_is_not_a_number() -> None:
    with pytest.raises(BadValue, match=r"crib\.unit=in is not a number"):
        Rules.defaults().number("crib.unit")


def test_a_shop_figure_reaches_the_material_by_any_of_its_names() -> None:
    rules = Rules.defaults().with_changes(
        {"material.mild.multiplier": "1.25", "material.ss304.clearance_pct": "25"}
    )
    assert rules.material("a36").multiplier == 1.25
    assert rules.material("ss304").tool_life_clearance_pct == 25
    assert rules.material("S275") == find_material("S275")
    assert rules.number("material.A36.multiplier") == 1.25


def test_a_shop_figure_that_is_not_set_is_the_tables() -> None:
    assert Rules.defaults().number("material.S355.multiplier") == 1.15


def test_the_rows_list_every_setting_and_the_shops_own_figures_last() -> None:
    rules = Rules.defaults().with_changes(
        {"material.S355JR.wear_factor": "1.4", "wear.plan": "0.5"}
    )
    rows = {row.key: row for row in rules.rows()}
    assert list(rows) == [*_KEYS, "material.S355.wear_factor"]
    assert (rows["wear.plan"].value, rows["wear.plan"].default) == ("0.5", "0.7")
    own = rows["material.S355.wear_factor"]
    assert (own.value, own.default, own.unit, own.tag) == ("1.4", "1.25", "-", "J")
    assert own.meaning == "This shop's own wear factor for S355 (shop rule)"


def test_every_meaning_ends_in_its_source() -> None:
    for row in Rules.defaults().rows():
        assert row.meaning.endswith(")")
        assert " (" in row.meaning


def test_the_choices_are_the_ones_the_tables_hold() -> None:
    choices = {row["key"]: row["choices"].split("|") for row in _ROWS}
    assert tuple(choices["bolt.standard_inch"]) == known_standards()
    assert tuple(choices["bolt.standard_metric"]) == known_standards()
    assert choices["code.default"] == ["", *known_codes()]


def test_the_defaults_agree_with_the_modules_that_use_them() -> None:
    number = Rules.defaults().number
    bands = [
        number(f"clearance.{name}_pct")
        for name in ("refuse_below", "tight_below", "wide_above", "refuse_above")
    ]
    assert ClearanceBands(*bands) == ClearanceBands()
    levels = [number(f"wear.{n}") for n in ("plan", "after_job", "before_job", "no_finish")]
    assert LevelLimits(*levels) == LevelLimits()
    weights = SeverityRules(
        reference_thickness_mm=number("wear.reference_thickness_mm"),
        thickness_least=number("wear.thickness_least"),
        thickness_most=number("wear.thickness_most"),
        clearance_very_tight=number("wear.clearance_very_tight"),
        clearance_tight=number("wear.clearance_tight"),
        clearance_wide=number("wear.clearance_wide"),
        bridge=number("wear.bridge"),
        chain=number("wear.chain"),
        high_stress=number("wear.high_stress"),
        high_stress_above_mpa=number("punch.stress_ok_mpa"),
    )
    assert weights == SeverityRules()


@given(st.sampled_from(_RANGED), st.floats(min_value=0, max_value=1))
def test_keeping_a_kept_value_changes_nothing(row: dict[str, str], where: float) -> None:
    least, most = float(row["least"]), float(row["most"])
    number = least + where * (most - least)
    kept = check_rule(row["key"], str(round(number) if row["kind"] == "whole" else number))
    assert check_rule(row["key"], kept) == kept


@given(st.text(max_size=20), st.text(max_size=20))
def test_any_text_is_kept_or_refused_in_our_own_words(key: str, value: str) -> None:
    try:
        kept = check_rule(key or "crib.name", value)
    except (BadValue, UnknownName):
        return
    assert kept.isprintable()


def _keys_read() -> tuple[set[str], list[str]]:
    """The texts that the program holds, and patterns of those with fields in them."""
    whole, patterns = set(), []
    for node in (node for text in sources("crib").values() for node in texts(ast.parse(text))):
        if isinstance(node, ast.Constant):
            whole.add(str(node.value))
        elif isinstance(node.values[0], ast.Constant) and "." in str(node.values[0].value):
            patterns.append("".join(map(_pattern, node.values)))
    return whole, patterns


def _pattern(part: ast.expr) -> str:
    return re.escape(str(part.value)) if isinstance(part, ast.Constant) else r"\w+"


def test_every_setting_is_read_by_something() -> None:
    whole, patterns = _keys_read()
    unread = [key for key in _KEYS if key not in whole]
    assert [key for key in unread if not any(re.fullmatch(p, key) for p in patterns)] == []


@pytest.mark.parametrize("key", WITHDRAWN)
def test_a_withdrawn_setting_is_told_of_and_changes_nothing(key: str) -> None:
    with pytest.raises(UnknownName, match="was withdrawn"):
        canonical_key(key)
    assert Rules.defaults().with_changes({key: "0.2"}).rows() == Rules.defaults().rows()


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ("https://Crib.local:8321/", "https://crib.local:8321"),
        ("http://192.168.1.20", "http://192.168.1.20"),
        ("http://[fe80::1]:8321", "http://[fe80::1]:8321"),
        (" ", ""),
    ],
)
def test_a_page_is_reached_at_an_address_without_a_path(said: str, kept: str) -> None:
    assert Rules.defaults().with_changes({"page.address": said}).text("page.address") == kept


@pytest.mark.parametrize(
    "said", ["crib.local", "http://crib/x", "http://", "http://a b", "http://u@c"]
)
def test_what_is_no_address_of_a_page_is_refused(said: str) -> None:
    with pytest.raises(BadValue, match="must be an address without a path"):
        Rules.defaults().with_changes({"page.address": said})
