"""What a finding says reads as it is: near a limit its figures stand as the real ones do."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import permutations
from math import inf, isclose

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.features.common.ask import Hit
from crib.features.common.bite_checks import bite_findings, cusp_finding, overlap_finding
from crib.features.common.bite_checks import web_finding as web
from crib.features.common.findings import Finding
from crib.features.common.piece_checks import piece_findings
from crib.features.common.plate_phrase import Reading
from crib.features.common.speech import Speech, Writer
from crib.features.common.tooling import EnvelopeRow, Tool
from crib.features.holes.pair_case import PairCase
from crib.features.holes.stack_checks import judge_stack
from crib.features.registry import read_phrase
from crib.trade.common.verdicts import exceeds, falls_short
from crib.trade.metal.shapes import diagonal_mm
from crib.trade.shop.shop_rules import Rules
from tests.features.bench import (
    FACTS,
    INCH_RULES,
    METRIC_RULES,
    SEAT_A,
    case,
    judged,
    mounted,
    station,
    tool,
)

NEAR = st.builds(
    lambda power, side: 1 + side * 10**power, st.floats(-8, -1.3), st.sampled_from([-1, 1])
)
"""A hair or more above or below a limit, as a share of it."""
RULES = st.sampled_from([INCH_RULES, METRIC_RULES])

_FIGURE = r"(?<![\w./-])(-?\d+(?:-\d+/\d+|/\d+|\.\d+)?)"
_UNITS = {
    "mm": {"in": 25.4, "mm": 1.0},
    "kN": {"US tons": 8.896443230521, "kN": 1.0},
    "MPa": {"ksi": 6.894757293168361, "MPa": 1.0},
    "kN/m": {"US tons a foot": 8.896443230521 / 0.3048, "kN a metre": 1.0},
    "strokes": {},
    "deg": {"°": 1.0},
    "-": {"%": 0.01, "": 1.0},
    "": {"%": 0.01, "": 1.0},
}
NOT_HELD_AGAINST = {"size", "header", "blade gap"}
"""What shows the sizes that are compared and not how far they are apart."""


def figures(finding: Finding) -> list[float]:
    """Every figure of a finding's text that is of its unit."""
    found = []
    for unit, worth in _UNITS[finding.unit].items():
        other = "" if unit else r"|\.\d| ?%"
        for text in re.findall(rf"{_FIGURE} ?{re.escape(unit)}(?![\w/]{other})", finding.text):
            whole, _, part = text.removeprefix("-").partition("-")
            sides = [piece.partition("/") for piece in (whole, part) if piece]
            size = sum(float(above) / float(below or 1) for above, _, below in sides)
            found.append(worth * (-size if text.startswith("-") else size))
    return found


def told_wrong(findings: list[Finding]) -> list[str]:
    """The texts whose figures do not stand to each other as value and limit do."""
    return [one.text for one in findings if not _told(one)]


def _told(finding: Finding) -> bool:
    value, limit = finding.value, finding.limit
    if value is None or limit is None:
        return True
    if finding.rule in NOT_HELD_AGAINST and "reamed" not in finding.text:
        return True
    shown = figures(finding)
    if relative := _in_thicknesses(finding):
        said, at = relative
    elif len(shown) == 1:
        said, at = shown[0], limit
    else:
        apart = permutations(shown, 2)
        said, at = min(
            apart, key=lambda two: abs(two[0] - value) + abs(two[1] - limit), default=(inf, inf)
        )
    if not relative and not isclose(said, value, rel_tol=0.02):
        # What shows only what was compared claims nothing, and nobody is refused by it.
        return finding.verdict == "ok"
    if exceeds(value, limit):
        return said > at
    return said < at if falls_short(value, limit) else True


def _in_thicknesses(finding: Finding) -> list[float]:
    """The figure and its limit where they are told in thicknesses, or in percent of one."""
    text = finding.text
    shown = [float(one) for one in re.findall(rf"{_FIGURE} (?:t|%|thicknesses)(?!\w)", text)]
    if finding.rule == "vee" and finding.verdict != "ok":
        return [*shown, *map(float, re.findall(r"(?:below|under|over) (\d+)", text))]
    if finding.rule.startswith("metal to") and len(shown) == 3:
        return [shown[0], shown[1 if finding.verdict == "refuse" else 2]]
    return shown if finding.rule == "clearance" and len(shown) == 2 else []


def pair_findings(near: float, rules: Rules) -> Iterator[Finding]:
    """A hole with every figure of its pair as near to its limit."""
    asked = case(20.0, 20.0 / near, "A36", rules=rules)
    gap_mm = 0.08 * near * asked.plate.thickness_mm
    die = tool("die", 20.0 + gap_mm)
    seat = replace(SEAT_A, body_diameter_mm=20.0 * near, nut_bore_mm=None)
    die_seat = replace(SEAT_A, die_diameter_mm=diagonal_mm(die.outline) + 2 * 6.0 * near)
    punch = tool("punch", 20.0, seat=seat, stress_limit_mpa=asked.stress_mpa * near)
    where = station(asked.force_n * near, daylight_mm=asked.plate.thickness_mm / near)
    yield from judged(asked, punch, replace(die, seat=die_seat), at=where)
    tight = station(asked.force_n / 0.8 * near)
    yield from judged(asked, replace(punch, stress_limit_mpa=None), die, at=tight)
    for phrase in ("hole 20mm thru 10mm A36 edge {edge}mm pitch 50mm", "bolt M20 thru 10mm A36"):
        said = phrase.format(edge=f"{10.0 + 10.0 * near:.9f}")
        said += f" end {28.0 * near:.9f}mm" if phrase.startswith("bolt") else ""
        facts = replace(FACTS, code="EN 1090-2")
        ask = read_phrase(said, Reading(rules))
        yield from ask.answers(rules, facts).judge(mounted(punch, die, at=where))


def method_findings(near: float, rules: Rules) -> Iterator[Finding]:
    """A hole to ream with punch and die as near to what they may be, and a code's widest die."""
    for code, phrase in (
        ("EN 1090-2", "hole 26mm thru 30mm S275 ream"),
        ("AASHTO", "bolt M24 thru 25mm A36 ream"),
        ("AASHTO", "hole 26mm thru 10mm A36"),
    ):
        facts = replace(FACTS, code=code)
        answers = read_phrase(phrase, Reading(rules)).answers(rules, facts)
        assert isinstance(answers.case, PairCase)
        limits = answers.case.under_size
        sizes = [24.0] if limits is None else [limits.punch_most_mm, limits.punch_least_mm]
        for size_mm in sizes:
            die_mm = 1.5875 * near + size_mm if limits is None else limits.die_most_mm * near
            pair = tool("punch", size_mm * near), tool("die", die_mm)
            yield from answers.judge(mounted(*pair))


def piece_and_bite_findings(near: float, rules: Rules) -> Iterator[Finding]:
    """A piece at the end of its life and its length, and hits at their least."""
    asked = case(20.0, 10.0, rules=rules)
    for share in (1.0, 1.2):
        worn = tool("punch", 20.0, wear=5000 * share * near, ground_mm=5.0 * near)
        worn = replace(worn, length_mm=60.0 * near, least_length_mm=60.0)
        yield from piece_findings(worn, 1.0, asked)
    for ground_mm in (3.0 / near, 4.5 - 6.5 * near):
        worn = tool("punch", 20.0, length_mm=70.0 - ground_mm)
        yield from judge_stack(mounted(worn, tool("die", 21.0)), rules)
    yield from judge_stack(mounted(tool("punch", 20.0, ground_mm=3.0 / near, seat=None),
                                   tool("die", 21.0, seat=None)), rules)  # fmt: skip
    where = station(daylight_mm=99.0 + 20.0 * near, stroke_mm=15.5 + 20.0 * near)
    yield from judge_stack(mounted(tool("punch", 20.0), tool("die", 21.0), at=where), rules, 20.0)
    for kind, share in (("chain", 0.75), ("chain", 0.6), ("bridge", 0.5), ("bridge", 0.35)):
        yield from bite_findings([Hit(1, 0.0, 0.0, share * near, kind)], rules)  # type: ignore[arg-type]
    yield overlap_finding(1.5 * near, rules)
    yield web(5.0 * near, 10.0, rules)
    yield cusp_finding(0.5 * near, rules)


def _listed(operation: str, size_mm: float, thickness_mm: float) -> tuple[EnvelopeRow, ...]:
    return (EnvelopeRow(operation, 0.0, size_mm, thickness_mm, "A36"),)


def other_findings(near: float, rules: Rules) -> Iterator[Finding]:
    """Notch, cut, tube, saddle and bend, each beside what is as near to its limit."""

    def says(phrase: str, one: Tool, rated_n: float = 1e9, *lists: EnvelopeRow) -> list[Finding]:
        at = station(rated_n, envelope=lists, daylight_mm=6.0 / near)
        return read_phrase(phrase, Reading(rules)).answers(rules, FACTS).judge(mounted(one, at=at))

    notch = tool("set", 50.0, shape="rectangle", profile="notch", depth_mm=40.0 * near)
    force_n = 351.1475 * 6.0 * (50.0 + 2 * 40.0)
    for steel, counted in (("A36", 1.0), ("A572-50", 1.2)):
        listed = _listed("notch", 50.0, 6.0 * counted * near)
        yield from says(f"notch 50mm x 40mm thru 6mm {steel}", notch, force_n * near, *listed)
        flat = _listed("cut flat", 100.0 * near, 6.0 * counted * near)
        blade = tool("blade", 0.0, shape="", work_length_mm=100.0 * near)
        yield from says(f"cut flat 100mm x 6mm {steel}", blade, 351.1475 * 600 * near, *flat)
        saddles = tool("set", 48.26 + 0.8 * near, profile="saddle", header_mm=48.26)
        saddles = replace(saddles, most_wall_mm=3.68 * counted * near, least_wall_mm=3.68 / near)
        yield from says(f"saddle 48.26mm tube 3.68mm wall {steel}", saddles)
        tubes = tool("set", 25.4, shape="square", profile="tube", least_wall_mm=1.5 / near)
        yield from says(
            f"cut tube 25.4mm x 1.5mm {steel}", replace(tubes, most_wall_mm=1.5 * counted * near)
        )
    vee = tool("brake_tool", 30.0 * near, shape="special", profile="vee die", angle_deg=90.0 * near)
    vee = replace(vee, work_length_mm=250.0 * near, line_limit_n_mm=900.0)
    yield from says("bend 250mm x 6mm at 90 flange 21mm A36", vee)
    pressed = vee.line_limit_n_mm or 0.0
    found = [one for one in says("bend 250mm x 6mm at 90 A36", vee) if one.rule == "line"]
    pressed = (found[0].value or 0.0) * near
    yield from says("bend 250mm x 6mm at 90 A36", replace(vee, line_limit_n_mm=pressed))


EVERY = (pair_findings, method_findings, piece_and_bite_findings, other_findings)


@pytest.mark.parametrize("made", EVERY)
@settings(max_examples=40)
@given(near=NEAR, rules=RULES)
def test_figures_near_a_limit_are_told_apart(
    made: Callable[[float, Rules], Iterator[Finding]], near: float, rules: Rules
) -> None:
    assert told_wrong(list(made(near, rules))) == []


def test_all_that_is_held_against_a_limit_is_tried() -> None:
    """The rules that the law above walks through, on this side of the limit or the other."""
    seen = {
        one.rule
        for made in EVERY
        for near in (0.99, 1.01)
        for one in made(near, INCH_RULES)
        if one.value is not None and one.limit is not None
    }
    assert seen >= {
        *("body", "bridge bite", "chain bite", "clearance", "code end", "cusp", "die wall"),
        *("angle", "blade length", "daylight", "depth", "edge", "entry", "envelope", "flange"),
        *("force", "hole to thickness", "land", "length", "line", "metal to edge", "nest"),
        *("adverse force", "adverse stress", "code die", "overlap", "punch stress", "ream", "size"),
        *("vee", "wall", "web"),
    }


@given(st.floats(1.0, 1e4), NEAR, RULES)
def test_every_way_of_writing_tells_a_figure_from_its_limit(
    limit: float, near: float, rules: Rules
) -> None:
    value = limit * near
    ways: tuple[tuple[Writer, float], ...] = (
        *((Speech.length, 1.0), (Speech.wall, 1.0), (Speech.caliper, 1.0), (Speech.stress, 1.0)),
        (Speech.force, 1000.0),
    )
    for write, worth in ways:
        say = Speech(rules).near(write, value * worth, limit * worth)
        assert write(say, value * worth) != write(say, limit * worth) or abs(near - 1) < 1e-6
