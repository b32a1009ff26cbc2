"""Which of two good answers comes first: each of the lines decides, in their order."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from crib.desk.answer.rank import LINES, Candidate, deciding_line, ranked
from crib.features.common.case import Case, Circumstances
from crib.features.common.findings import Finding
from crib.features.common.tooling import Adapter, ToolingSet
from tests.features.bench import FACTS, INCH_RULES, SEAT_A, plate, station, tool

CASE = Case(plate(9.525), INCH_RULES, FACTS)
STAINLESS = Case(plate(9.525, "304"), INCH_RULES, FACTS)
CAUTION = Finding("edge", "caution", "grind it")


def made(
    *,
    findings: tuple[Finding, ...] = (),
    load: float = 0.5,
    closeness_mm: float = 0.0,
    off_size_mm: float = 0.0,
    adapters: dict[str, Adapter] | None = None,
    die: dict[str, Any] | None = None,
    **punch: Any,
) -> Candidate:
    """A choice that differs from another in what is named."""
    tools = {
        "punch": tool("punch", 20.6, **({"tag": "P-9"} | punch)),
        "die": tool("die", 21.4, **(die or {})),
    }
    return Candidate(
        ToolingSet(tools, station(), adapters or {}),
        findings,
        {"load": load, "off_size_mm": off_size_mm},
        {"punch": 1.0, "die": 0.5},
        closeness_mm,
    )


PLAIN = made()
SITS = Adapter("AD-1", "die_adapter", "A", "B", 1.0)
OLD: dict[str, Any] = {"strokes_total": 900}
SEAT_B = replace(SEAT_A, name="B")
EACH_LINE: list[tuple[str, Candidate, Candidate, Circumstances]] = [
    (
        "what is at the own site",
        made(die={"seat": SEAT_B}),
        made(station_id=1, die={"station_id": 1, "site": "South", "site_days": 1}),
        FACTS,
    ),
    (
        "what is at the own site",
        made(site="South", site_days=1, die={"site": "South", "site_days": 1}),
        made(site="South", site_days=1, die={"site": "East", "site_days": 1}),
        FACTS,
    ),
    (
        "punch and die of one seat",
        made(findings=(CAUTION, CAUTION)),
        made(die={"seat": SEAT_B, "station_id": 1}, station_id=1),
        FACTS,
    ),
    ("no cautions", PLAIN, made(findings=(CAUTION,), station_id=1), FACTS),
    ("already mounted there", made(station_id=1, wear=4000.0), PLAIN, FACTS),
    (
        "edge that suits the class of work",
        made(wear=100.0, closeness_mm=1.0),
        made(wear=300.0),
        Circumstances(appearance="finish"),
    ),
    (
        "edge that suits the class of work",
        made(wear=3000.0, closeness_mm=1.0),
        PLAIN,
        Circumstances(appearance="rough", quantity=300),
    ),
    (
        "edge lasts the whole job",
        made(closeness_mm=1.0),
        made(wear=4900.0),
        Circumstances(quantity=300),
    ),
    ("size closest to the wanted one", made(closeness_mm=1.0), made(off_size_mm=-0.3), FACTS),
    ("clearance closest to the policy", made(load=0.9), made(closeness_mm=0.1), FACTS),
    ("better margin at the station", made(adapters={"die": SITS}), made(load=0.3), FACTS),
    ("better margin at the station", made(load=0.8), made(load=0.9), FACTS),
    (
        "holds in the strongest, thickest plate too",
        made(findings=(CAUTION,), adapters={"die": SITS}),
        made(findings=(CAUTION, Finding("adverse force", "caution", "look at the certificate"))),
        FACTS,
    ),
    (
        "no adapter",
        PLAIN,
        made(adapters={"die": SITS}, dedicated_to="mild"),
        FACTS,
    ),
    ("kept for this material", made(dedicated_to="mild", walk_order=9), PLAIN, FACTS),
    ("nearest place", made(walk_order=1), made(walk_order=2, **OLD), FACTS),
    ("the older copy first", made(**OLD), made(strokes_total=100), FACTS),
    ("the older copy first", made(bought_on="2020-01-01"), made(bought_on="2024-01-01"), FACTS),
]


@pytest.mark.parametrize(("line", "first", "second", "facts"), EACH_LINE)
def test_each_line_decides_over_all_that_follow_it(
    line: str, first: Candidate, second: Candidate, facts: Circumstances
) -> None:
    case = replace(CASE, facts=facts)
    for found in ([first, second], [second, first]):
        assert ranked(found, case)[0] is first
    assert deciding_line(first, second, case) == line


def test_every_line_has_decided_once() -> None:
    assert {line for line, *_rest in EACH_LINE} == {name for name, _line in LINES}


def test_rough_work_does_not_take_a_worn_edge_that_does_not_last() -> None:
    facts = Circumstances(appearance="rough", quantity=3000)
    assert ranked([made(wear=3000.0), PLAIN], replace(CASE, facts=facts))[0] is PLAIN


def test_stainless_takes_the_sharpest_edge() -> None:
    assert ranked([made(wear=300.0), PLAIN], STAINLESS)[0] is PLAIN
    assert deciding_line(PLAIN, made(wear=300.0), CASE) != ("edge that suits the class of work")


def test_a_load_from_40_to_80_percent_is_margin_enough() -> None:
    near, far = made(load=0.4, tag="P-1"), made(load=0.8, tag="P-2")
    assert deciding_line(near, far, CASE).startswith("nothing but its name")


def test_equal_ones_stand_in_the_order_of_their_tags() -> None:
    found = [made(tag=tag) for tag in ("P-3", "P-1", "P-2")]
    assert [one.tools[0].tag for one in ranked(found, CASE)] == ["P-1", "P-2", "P-3"]


def test_a_die_that_is_mounted_counts_as_well() -> None:
    mounted = replace(PLAIN, tooling=made(die={"station_id": 1}).tooling)
    assert deciding_line(mounted, PLAIN, CASE) == "already mounted there"
