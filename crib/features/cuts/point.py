"""The pointed end of a picket: ``point 3/4`` on square bar, ``point round 5/8`` on round.

The set is made for exactly one bar. The end is formed in several hits, the bar turned by 90 degrees
between them, in solid mild steel only.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

from crib.features.common.ask import Answers, FeatureKind, HitPlan, Need, Workaround
from crib.features.common.asked_tool import AskedTool
from crib.features.common.bar_phrase import read_tail, size_or_gauge
from crib.features.common.case import Case, Circumstances, Plate
from crib.features.common.chain_checks import (
    PLATE,
    attachment_findings,
    daylight_findings,
    envelope_finding,
    envelope_points,
    seat_findings,
    weakest_link,
)
from crib.features.common.findings import Finding
from crib.features.common.phrase import Words
from crib.features.common.phrase_form import PhraseForm
from crib.features.common.plate_phrase import Reading
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.trade.common.verdicts import Verdict, exceeds
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.picture import Picture

EXAMPLE = "point 3/4"
BARS = ("square", "round")
HITS = 2
"""The fewest hits: two sides in one, the other two after the turn."""
OPERATION = "point"
CP = "common practice, no source"
COATED = "Galvanized"


@dataclass(frozen=True)
class PointCase(Case):
    """The end of a solid bar to be pointed; the plate's thickness is the bar's size."""

    bar: str

    @property
    def size_mm(self) -> float:
        """The bar's side or diameter."""
        return self.plate.thickness_mm


@dataclass(frozen=True)
class Point:
    """A pointed end on a solid bar; the plate's thickness is the bar's size."""

    bar: str
    plate: Plate

    feature: ClassVar[str] = "point"
    work: ClassVar[str] = "picket"

    @property
    def size_mm(self) -> float:
        """The bar's side or diameter."""
        return self.plate.thickness_mm

    def phrase(self, system: System) -> str:
        """The ask written the one canonical way."""
        bar = "" if self.bar == "square" else f"{self.bar} "
        return f"point {bar}{size_or_gauge(self.size_mm, system)} {self.plate.material.name}"

    def as_json(self) -> dict[str, Any]:
        """The ask for programs, SI."""
        return {
            "feature": self.feature,
            "shape": self.bar,
            "size_mm": self.size_mm,
            "thickness_mm": self.size_mm,
            "material": self.plate.material.name,
            "material_assumed": self.plate.assumed,
        }

    def answers(self, rules: Rules, facts: Circumstances) -> PointAnswers:
        """What there is to say of a picket set for it."""
        return PointAnswers(self, PointCase(self.plate, rules, facts, self.bar))


class PointAnswers(Answers[Point, PointCase]):
    """What there is to say of a picket set; one fits or does not, and none is closer."""

    part_word: ClassVar[str] = "end"
    strokes: ClassVar[int] = HITS

    def needs(self) -> tuple[Need, ...]:
        """A set of exactly the bar's size."""
        size_mm, slack_mm = self.case.size_mm, self.case.rules.number("size.tolerance_mm")
        least_mm, most_mm = size_mm - slack_mm, size_mm + slack_mm
        sizes = (least_mm, most_mm, least_mm, most_mm, size_mm)
        return (Need("set", self.case.bar, *sizes, "for exactly that bar", profile="picket"),)

    def judge(self, tooling: ToolingSet) -> list[Finding]:
        """What the rules say of a set in a station."""
        return list(judge_point(self.case, tooling))

    def figures(self, tooling: ToolingSet) -> dict[str, float]:
        """The hits; nobody has a formula for the force of forming a point cold."""
        rated_n = tooling.station.rated_force_n
        made = {"hits": float(HITS)}
        return made if rated_n is None else made | {"rated_kn": rated_n / 1000}

    def ideal(self, seat: Seat, role: str, beside: Mapping[str, Tool]) -> Tool | None:
        """The set one would order for a seat."""
        if role != "set":
            return None
        return Tool(
            role=role,
            shape=self.case.bar,
            width_mm=self.case.size_mm,
            long_mm=self.case.size_mm,
            seat=seat,
            kind="set to order",
            profile="picket",
            to_order=True,
        )

    def workarounds(self, refused: frozenset[str]) -> list[Workaround]:
        """Cut and grind it, forge it, or buy the ends."""
        case = self.case
        size = case.say.length(case.size_mm)
        ways = [
            Workaround(f"saw the end of the {size} bar to a point and grind it", None, 30),
            Workaround("forge it hot by hand", None, 40),
            Workaround("buy the ends ready made and weld them on", None, 60),
            Workaround("have the ends formed outside: ask price and days", None, 70),
        ]
        if "material" in refused:
            plain = Point(case.bar, Plate(case.size_mm, case.rules.material("A36")))
            text = "point it in plain mild steel, and coat it afterwards"
            ways.append(Workaround(text, plain.phrase(case.say.system), 20))
        return ways

    def picture(self, tooling: ToolingSet, plan: HitPlan | None) -> Picture:
        """The bar from the side and from its end, with the turn between the hits."""
        from crib.features.cuts.point_picture import point_picture

        return point_picture(self.case.bar, self.case.size_mm, tooling.station.label, self.case.say)


def judge_point(case: PointCase, tooling: ToolingSet) -> Iterator[Finding]:
    """Every rule for one set in one station, in their order."""
    yield from _material(case)
    tool = tooling.tool("set")
    if tool is not None:
        yield _size(case, tool)
    yield from seat_findings(tooling)
    yield from attachment_findings(tooling)
    yield from daylight_findings(case.size_mm, tooling, case.say)
    yield from _proof(case, tooling)
    text = f"at least {HITS} hits, turn the bar by 90° between them; measure on a trial piece how"
    yield Finding("note", "ok", f"{text} much longer it gets", HITS, None, "hits", CP)


def _material(case: PointCase) -> Iterator[Finding]:
    material = case.plate.material
    if material.name == COATED:
        text = "no galvanized bar: the zinc flakes into the set; point it first, then coat it"
        yield Finding("material", "refuse", text, source=CP)
    elif material.family != "mild":
        text = f"{material.name} is {material.family}: only solid mild steel is pointed cold"
        yield Finding("material", "refuse", text, source=CP)


def _size(case: PointCase, tool: Tool) -> Finding:
    say, tolerance_mm = case.say, case.rules.number("size.tolerance_mm")
    off_mm = abs(tool.width_mm - case.size_mm)
    same = tool.shape == case.bar and not exceeds(off_mm, tolerance_mm)
    text = f"set for {tool.shape} bar {say.length(tool.width_mm)}"
    if not same:
        text += f", wanted exactly {case.bar} {say.length(case.size_mm)}"
    verdict: Verdict = "ok" if same else "refuse"
    return Finding("size", verdict, text, off_mm, tolerance_mm, "mm", "shop rule, tolerance")


def _proof(case: PointCase, tooling: ToolingSet) -> Iterator[Finding]:
    """A list proves a bar; without one there must be a rating, and the trial is a careful one."""
    station, tool = tooling.station, tooling.tool("set")
    lists = [(station.label, station.envelope)]
    if tool is not None:
        lists.append((tool.tag or "the set", tool.envelope))
    listed = False
    for owner, rows in lists:
        points = envelope_points(rows, OPERATION, 0.0)
        if points:
            listed = True
            material, size_mm = case.material, case.size_mm
            yield envelope_finding(
                points, size_mm, size_mm, material, case.rules, owner=owner, operation=OPERATION
            )
    if not listed:
        yield _unlisted(case, tooling)


def _unlisted(case: PointCase, tooling: ToolingSet) -> Finding:
    limit_n, weakest = weakest_link(tooling)
    if limit_n is None:
        text = f"{weakest} has no rated force, and nothing lists this bar: enter one of them"
        return Finding("force", "refuse", text, None, None, "kN", PLATE)
    text = (
        f"{case.say.force(limit_n)} at {weakest}, but nothing lists this bar: the set's manual"
        " first, then a trial piece at low pressure"
    )
    return Finding("force", "caution", text, None, limit_n / 1000, "kN", PLATE)


def read(words: Words, reading: Reading) -> Point:
    """Read ``[square|round] SIZE [MATERIAL]``.

    Raises:
        BadPhrase: pointing at the size or material that cannot be read.
    """
    bar = next((bar for bar in BARS if words.take_if(bar)), BARS[0])
    size_mm = words.take_length_mm(reading.system, "the bar's size", EXAMPLE)
    tail = read_tail(words, reading, EXAMPLE, {})
    return Point(bar, Plate(size_mm, tail.material, tail.assumed))


FEATURE = FeatureKind(
    "point",
    EXAMPLE,
    read,
    "a pointed picket end on a solid bar",
    ("picket",),
    tools=(AskedTool("set", "picket", BARS, "picket"),),
    forms=(PhraseForm("point", "point {width} {material}", BARS[0]),),
)
