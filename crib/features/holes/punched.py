"""What every punched feature shares: a hole of one outline, made by a punch and a die.

A kind of punched feature is a subclass that says how its phrase reads; everything that judges,
orders and works around is here and in the ``pair_*`` files.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar

from crib.features.common.ask import (
    Answers,
    FeatureKind,
    Hit,
    HitPlan,
    Need,
    SeveralHits,
    Workaround,
)
from crib.features.common.asked_tool import AskedTool
from crib.features.common.case import Case, Circumstances, Plate
from crib.features.common.chain_checks import rating_figures
from crib.features.common.findings import Finding, refusals
from crib.features.common.hole_method import REAM, HoleMethod
from crib.features.common.pair_wear import on_role
from crib.features.common.phrase import Words
from crib.features.common.phrase_form import plate_form
from crib.features.common.plate_phrase import Reading, late_plate
from crib.features.common.sizes import size_word
from crib.features.common.speech import Speech
from crib.features.common.spoken import RADIUS_WORDS, SECOND_WORDS, take_out
from crib.features.common.tolerances import EXAMPLE as TOLERANCE_EXAMPLE
from crib.features.common.tolerances import Tolerance, take_tolerance
from crib.features.common.tool_spec import ToolSpec
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.features.holes.distances import NO_DISTANCES, Distances, read_distances
from crib.features.holes.lying import EXAMPLE as LYING_EXAMPLE
from crib.features.holes.lying import NO_PLACING, Lying, Placing, is_long, take_lying, ways_in
from crib.features.holes.method_checks import method_of
from crib.features.holes.pair_case import PairCase, UnderSize
from crib.features.holes.pair_checks import judge_pair
from crib.features.holes.pair_orders import ideal_tool
from crib.features.holes.pair_workarounds import pair_workarounds
from crib.features.holes.stack_checks import judge_stack, plain_lengths
from crib.trade.common.verdicts import exceeds, falls_short
from crib.trade.metal import clearance, force
from crib.trade.metal.shapes import Outline, Shape
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.corner_radius import SaidRadius
    from crib.features.common.picture import Picture
    from crib.features.common.second_operation import SecondOperation
    from crib.features.holes.distance_checks import DistanceCase
    from crib.trade.metal.hole_tolerances import HoleTolerance


RADIUS_EXAMPLE = "rectangle 2 x 1 radius 1/8 thru 1/4"

DUST_MM = 1e-6
"""What two sizes that are the same may differ by when one of them is worked out."""


@dataclass(frozen=True)
class Punched:
    """A hole of one outline in a plate; one to be reamed is punched under size first."""

    outline: Outline
    plate: Plate
    distances: Distances = field(default=NO_DISTANCES, kw_only=True)
    lying: Lying | None = field(default=None, kw_only=True)
    to_ream: bool = field(default=False, kw_only=True)
    tolerance: Tolerance | None = field(default=None, kw_only=True)
    second: SecondOperation | None = field(default=None, kw_only=True)

    feature: ClassVar[str] = ""
    work: ClassVar[str] = "punch"

    @property
    def bolt_mm(self) -> float | None:
        """The bolt's diameter, for a hole that a bolt asked for."""
        return None

    @property
    def standard_tolerance(self) -> HoleTolerance | None:
        """What the standard that gave the hole its size lets it be off, where it says so."""
        return None

    def sizes_phrase(self, system: System) -> str:
        """The size part of the phrase: one size, or two with an x."""
        sizes = [self.outline.width_mm]
        if self.outline.shape in ("rectangle", "obround"):
            sizes.append(self.outline.length_mm)
        return " x ".join(size_word(size_mm, system) for size_mm in sizes)

    def corners_phrase(self, system: System) -> str:
        """The radius of its corners behind the sizes; nothing where they are sharp."""
        corner_mm = self.outline.corner_mm
        return f" radius {size_word(corner_mm, system)}" if corner_mm else ""

    def phrase(self, system: System) -> str:
        """The ask written the one canonical way."""
        lying = f" {self.lying}" if self.lying else ""
        reamed = f" {REAM}" if self.to_ream else ""
        tail = f"{lying}{self.distances.phrase(system)}{reamed}"
        allowed = self.tolerance.phrase(system) if self.tolerance else ""
        sizes = f"{self.sizes_phrase(system)}{allowed}{self.corners_phrase(system)}"
        if self.second is not None:
            sizes = self._seconded(sizes, system, self.second)
        return f"{self.feature} {sizes} {self.plate.phrase(system)}{tail}"

    def _seconded(self, sizes: str, system: System, second: SecondOperation) -> str:
        """The sizes with what is done afterwards; a thread stands for its usual drill."""
        thread = second.thread
        usual = thread is not None and thread.drill_mm == self.outline.width_mm
        bare = usual and self.tolerance is None
        return f"{'' if bare else sizes}{second.phrase(system)}".strip()

    def as_json(self) -> dict[str, Any]:
        """The ask for programs, SI."""
        made: dict[str, Any] = {
            "feature": self.feature,
            "shape": self.outline.shape,
            "size_mm": self.outline.width_mm,
        }
        if self.outline.shape in ("rectangle", "obround"):
            made["length_mm"] = self.outline.length_mm
        if self.outline.corner_mm:
            made["corner_radius_mm"] = self.outline.corner_mm
        return made | {
            "thickness_mm": self.plate.thickness_mm,
            "material": self.plate.material.name,
            "material_assumed": self.plate.assumed,
            **({"lying": self.lying} if self.lying else {}),
            **({"to_ream": True} if self.to_ream else {}),
            **({"tolerance": self.tolerance.as_json()} if self.tolerance else {}),
            **({"second_operation": self.second.as_json()} if self.second else {}),
            **self.distances.as_json(),
        }

    @property
    def placing(self) -> Placing:
        """How the piece may lie at a station, as far as the phrase says it."""
        return Placing(ways_in(self.outline, self.distances), self.lying)

    def part(self, outline: Outline, hits: Sequence[Hit] = ()) -> Punched:
        """Some hits of a plan for this feature: the small tool's own shape in the same plate."""
        placing = self.placing.of_hits(hits)
        return HitOfSeveral(outline, self.plate, self.bolt_mm, placing, tolerance=self.tolerance)

    def placed(self, case: Case) -> DistanceCase:
        """The hole as the rules for distances look at it."""
        # Few holes come with distances: the others do without the codes' tables of them.
        from crib.features.holes.distance_checks import DistanceCase

        return DistanceCase(case.plate, case.rules, case.facts, self.outline, self.distances)

    def answers(self, rules: Rules, facts: Circumstances) -> PunchedAnswers:
        """What there is to say of a punch and a die for it."""
        case = PairCase(
            self.plate,
            rules,
            facts,
            self.outline,
            self.bolt_mm,
            self.to_ream,
            self.allowed(rules, facts),
        )
        return PunchedAnswers(self, case)

    def allowed(self, rules: Rules, facts: Circumstances) -> Tolerance | None:
        """How far the hole may be off: by the phrase, else by the bolt's standard or the code."""
        if self.tolerance is not None:
            return self.tolerance
        code = facts.code or rules.text("code.default")
        found = self.standard_tolerance
        if found is None and code:
            # Most holes come without a code: they do without its table.
            from crib.trade.metal.hole_tolerances import hole_tolerance

            found = hole_tolerance(code, self.outline.width_mm)
        if found is None or self.outline.shape != "round":
            return None
        return Tolerance(found.plus_mm, found.minus_mm, found.source, stated=False)


@dataclass(frozen=True)
class HitOfSeveral(Punched):
    """One hit of a feature that takes several; what a code says goes by the feature's bolt."""

    of_bolt_mm: float | None = None
    placing: Placing = NO_PLACING

    @property
    def feature(self) -> str:  # type: ignore[override]
        """The word of the hole that this hit would make by itself."""
        return {"round": "hole", "obround": "slot"}.get(self.outline.shape, self.outline.shape)

    @property
    def bolt_mm(self) -> float | None:
        """The diameter of the bolt that the whole feature is for."""
        return self.of_bolt_mm

    def allowed(self, rules: Rules, facts: Circumstances) -> Tolerance | None:
        """Hits are laid out for the very tools that make them: no other size stands in for one."""
        del facts
        return self.tolerance.within(rules.number("size.tolerance_mm")) if self.tolerance else None


class PunchedAnswers(Answers[Punched, PairCase]):
    """What there is to say of a punch and a die for a hole."""

    def needs(self) -> tuple[Need, ...]:
        """A punch of the hole's size, and a die bigger than it within the widest band."""
        case, outline = self.case, self.case.outline
        if case.under_size is not None:
            return _needs_to_ream(case, case.under_size)
        slack_mm = case.rules.number("size.tolerance_mm")
        (least_mm, least_long_mm), (greatest_mm, greatest_long_mm) = case.least_mm, case.most_mm
        most_mm = max(
            case.bands.refuse_above_pct * case.plate.thickness_mm / 100,
            case.step.high_mm + slack_mm,
        )
        width_mm = outline.width_mm
        least_mm, least_long_mm = least_mm - DUST_MM, least_long_mm - DUST_MM
        greatest_mm, greatest_long_mm = greatest_mm + DUST_MM, greatest_long_mm + DUST_MM
        punch = (least_mm, greatest_mm, least_long_mm, greatest_long_mm)
        die = (least_mm, greatest_mm + most_mm, least_long_mm, greatest_long_mm + most_mm)
        aim_mm = width_mm + case.policy_clearance_mm
        return (
            Need("punch", outline.shape, *punch, width_mm, "of that size"),
            Need("die", outline.shape, *die, aim_mm, "a little larger than the punch"),
        )

    def judge(self, tooling: ToolingSet) -> list[Finding]:
        """What the rules say of a punch and a die in a station."""
        return [
            *judge_pair(self.case, tooling),
            *self._placing_findings(tooling),
            *self.feature_findings,
        ]

    def _placing_findings(self, tooling: ToolingSet) -> Iterator[Finding]:
        """Whether the keys let the piece lie as it is said, and the throat reaches then."""
        placing = self.ask.placing
        if placing:
            from crib.features.holes.throat_checks import judge_placing

            yield from judge_placing(placing, tooling, self.case.say)

    def judge_together(self, tooling: ToolingSet) -> list[Finding]:
        """Whether punch and die close where they stand, and the plate goes between them.

        Most pairs are plain and well: of lengths of which nothing was to be said nothing is.
        """
        lengths = plain_lengths(tooling)
        if lengths in self.case.well:
            return []
        told = judge_stack(tooling, self.case.rules, self.case.plate.thickness_mm)
        if lengths is not None and not told:
            self.case.well.add(lengths)
        return told

    @cached_property
    def feature_findings(self) -> tuple[Finding, ...]:
        """What the tooling and the code say of the hole's distances."""
        second = self.ask.second
        later = (second.finding(self.case.say),) if second else ()
        if not self.ask.distances.named():
            return later
        from crib.features.holes.distance_checks import distance_findings

        return (*distance_findings(self.ask.placed(self.case)), *later)

    def method(self, tooling: ToolingSet | None) -> HoleMethod | None:
        """How the job's code wants the hole made, and how a pair makes it."""
        return method_of(self.case, tooling)

    @property
    def several_hits(self) -> SeveralHits:
        """How smaller punches make a slot or a rectangular opening."""
        from crib.features.holes.opening_hit_plans import OpeningHits

        return OpeningHits(self.case, self.ask.part)

    def closeness_mm(self, tooling: ToolingSet) -> float:
        """How far the pair's clearance is from the policy's."""
        gap_mm = _gap_mm(tooling)
        return 0.0 if gap_mm is None else abs(gap_mm - self.case.policy_clearance_mm)

    def figures(self, tooling: ToolingSet) -> dict[str, float]:
        """Force, load and clearance of a pair; a figure that is not known is left out."""
        case, gap_mm = self.case.struck_by(tooling.tool("punch")), _gap_mm(tooling)
        made = {"hits": 1, "force_kn": case.force_n / 1000}
        made |= rating_figures(tooling, case.force_n)
        if gap_mm is not None:
            made["clearance_mm"] = gap_mm
            made["policy_clearance_mm"] = case.policy_clearance_mm
        if case.to_ream:
            made |= _reamed_figures(case)
        elif case.struck is not None:
            off_mm = case.off_mm(case.struck)
            made |= {"punched_mm": case.struck.width_mm, "deviation_mm": off_mm}
            made["off_size_mm"] = off_mm
        made["punch_stress_mpa"] = case.stress_mpa
        stripping = case.rules.number("strip.fraction")
        made["stripping_kn"] = force.stripping_force_n(case.force_n, stripping) / 1000
        return made

    def ideal(self, seat: Seat, role: str, beside: Mapping[str, Tool]) -> Tool | None:
        """The punch or die one would order for a seat."""
        return ideal_tool(self.case, seat, role, beside)

    def order_spec(self, tool: Tool, tooling: ToolingSet) -> ToolSpec:
        """All that is to be known of a punch or a die to order, and what is reamed after it."""
        made = super().order_spec(tool, tooling)
        if self.case.to_ream:
            return replace(made, ream_to_mm=self.case.outline.width_mm)
        allowed = self.ask.tolerance
        if allowed is None or tool.role != "punch":
            return made
        return replace(
            made,
            hole_plus_mm=allowed.plus_mm or None,
            hole_minus_mm=allowed.minus_mm or None,
        )

    def severity_each(self, tooling: ToolingSet, role: str) -> float:
        """The weight of one hit on the tool in a role."""
        case = self.case.struck_by(tooling.tool("punch"))
        return on_role(case.weight_of_hit(_gap_mm(tooling)), role, case.rules)

    def workarounds(self, refused: frozenset[str]) -> list[Workaround]:
        """What to do about the hole without the tooling."""
        from crib.features.holes.distance_checks import distance_workarounds

        refused |= {finding.rule for finding in refusals(self.feature_findings)}
        reamed = replace(self.ask, to_ream=True).phrase(self.case.say.system)
        return distance_workarounds(refused) or pair_workarounds(self.case, refused, reamed)

    def picture(self, tooling: ToolingSet, plan: HitPlan | None) -> Picture:
        """The pair with its clearance, or the hits of a plan in their order."""
        if plan is None:
            from crib.features.holes.distance_picture import distance_shapes
            from crib.features.holes.pair_picture import pair_picture

            pair = pair_picture(self.case, tooling)
            beside = distance_shapes(self.case.outline, self.ask.distances, self.case.say)
            pair = replace(pair, shapes=(*pair.shapes, *beside))
            second = self.ask.second
            return second.drawn(pair, self.case.say) if second else pair
        from crib.features.holes.hit_picture import hit_picture

        return hit_picture(self.case, plan, tooling)


def _reamed_figures(case: PairCase) -> dict[str, float]:
    """What is punched and what it is reamed to, and how far that is from what one would order."""
    limits, punched_mm = case.under_size, case.punched.width_mm
    made = {"punched_mm": punched_mm, "finished_mm": case.outline.width_mm}
    return made | ({"off_size_mm": punched_mm - limits.punch_aim_mm} if limits else {})


def _needs_to_ream(case: PairCase, limits: UnderSize) -> tuple[Need, ...]:
    """A punch under the finished size, and a die that leaves the reamer something all round."""
    punch = (limits.punch_least_mm - DUST_MM, limits.punch_most_mm + DUST_MM)
    die = (limits.punch_least_mm, limits.die_most_mm + DUST_MM)
    aim_mm = limits.punch_aim_mm
    return (
        Need("punch", "round", *punch, *punch, aim_mm, "of a size to ream after"),
        Need("die", "round", *die, *die, aim_mm + case.policy_clearance_mm, "a little larger"),
    )


def punched_kind(
    word: str,
    example: str,
    read: Callable[[Words, Reading], Punched],
    meaning: str,
    also: tuple[str, ...] = (),
    *,
    shape: Shape,
    sizes: str = "",
) -> FeatureKind:
    """A kind of punched hole of a shape; distances to edge, end and next hole may follow."""

    def read_placed(words: Words, reading: Reading) -> Punched:
        tolerance = take_tolerance(words, reading)
        said, reamed = take_lying(words), take_out(words, REAM)
        radius, second = _take_radius(words, reading), _take_second(words, reading)
        hole = read(words, reading)
        if radius is not None:
            hole = _rounded(hole, radius, reading)
        if tolerance is not None and exceeds(2 * tolerance.minus_mm, hole.outline.width_mm):
            message = "the tolerance would let the hole shrink to less than half its size"
            raise words.wrong(0, len(words.text), message, TOLERANCE_EXAMPLE)
        if said is not None and not is_long(hole.outline):
            message = f"{said[0]!r} is for a hole that is longer than wide"
            raise words.wrong(said[1].start, said[1].end, message, LYING_EXAMPLE)
        if reamed is not None and hole.outline.shape != "round":
            message = f"{reamed.peek()!r} is for a round hole, and this is {hole.outline.shape}"
            raise reamed.wrong(*reamed.place(), message, "hole 13/16 thru 3/8 A36 ream")
        long = hole.outline.shape in ("rectangle", "obround")
        distances = read_distances(words, reading, long=long)
        plate = late_plate(hole.plate, words, reading, example)
        distances = read_distances(words, reading, long=long, before=distances)
        lying = said[0] if said else None
        if second is not None:
            hole = _finished(hole, second, words, reading)
        made = replace(hole, plate=plate, distances=distances, lying=lying, tolerance=tolerance)
        return replace(made, to_ream=reamed is not None)

    pair = tuple(AskedTool(role, "punch", (shape,)) for role in ("punch", "die"))
    said = sizes or ("{width} x {long}" if shape in ("rectangle", "obround") else "{width}")
    return FeatureKind(
        word, example, read_placed, meaning, also, pair, plate_form(word, said, shape)
    )


def _take_radius(words: Words, reading: Reading) -> SaidRadius | None:
    """The radius of its corners; most holes are round or sharp and do without the module."""
    if not any(word.plain in RADIUS_WORDS for word in words.rest()):
        return None
    from crib.features.common.corner_radius import take_radius

    return take_radius(words, reading, RADIUS_EXAMPLE)


def _take_second(words: Words, reading: Reading) -> SecondOperation | None:
    """What is done to the hole afterwards; most need nothing and do without the module."""
    if not any(word.plain in SECOND_WORDS for word in (words.first, *words.rest())):
        return None
    from crib.features.common.second_operation import take_second

    return take_second(words, reading)


def _finished(hole: Punched, second: SecondOperation, words: Words, reading: Reading) -> Punched:
    """The hole with what is done to it afterwards, where that suits it."""
    from crib.features.common.second_operation import checked

    say = Speech(reading.rules)
    return replace(hole, second=checked(second, hole.outline, hole.plate, words, say))


def _rounded(hole: Punched, radius: SaidRadius, reading: Reading) -> Punched:
    """The hole with its corners rounded.

    Raises:
        BadPhrase: for a hole without corners, and for a radius that leaves nothing straight.
    """
    outline = hole.outline
    if outline.shape not in ("square", "rectangle"):
        message = f"a radius is for the corners of a square or rectangle, this is {outline.shape}"
        raise radius.words.wrong(radius.start, radius.end, message, RADIUS_EXAMPLE)
    too_large = radius.too_large(outline.width_mm / 2, Speech(reading.rules), RADIUS_EXAMPLE)
    if too_large is not None:
        raise too_large
    if not falls_short(radius.radius_mm, outline.width_mm / 2):
        message = "ends that are round all over make a slot, or a round hole"
        raise radius.words.wrong(radius.start, radius.end, message, "slot 1 x 2 thru 1/4")
    return replace(hole, outline=replace(outline, corner_mm=radius.radius_mm))


def _gap_mm(tooling: ToolingSet) -> float | None:
    punch, die = tooling.tool("punch"), tooling.tool("die")
    if punch is None or die is None:
        return None
    return min(
        clearance.total_clearance_mm(punch.width_mm, die.width_mm),
        clearance.total_clearance_mm(punch.long_mm, die.long_mm),
    )
