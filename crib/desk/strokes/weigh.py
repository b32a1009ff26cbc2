"""What a logged stroke weighs: from the plate, the pair and the hit, by the shop's rules."""

from __future__ import annotations

from dataclasses import dataclass, field

from crib.acts import act, saying
from crib.desk.common.piece_wear import size_now_mm
from crib.desk.strokes.manner_words import AS_USUAL
from crib.errors import BadInput, BadValue, Refused
from crib.features.common.case import Plate
from crib.features.common.pair_wear import on_role, stroke_severity
from crib.features.common.strength import shear_strength
from crib.features.common.which_unit import plain_thickness_mm
from crib.stock.queries.pieces import PieceCard
from crib.trade.life.wear import Manner, Severity
from crib.trade.metal.clearance import percent_of_thickness, total_clearance_mm
from crib.trade.metal.force import punching_force_n
from crib.trade.metal.gauges import gauge_thickness_mm
from crib.trade.metal.materials import Material
from crib.trade.metal.punch_strength import punch_stress_mpa
from crib.trade.metal.shapes import SHAPES, Outline, area_mm2, perimeter_mm
from crib.trade.shop.shop_rules import Rules
from crib.units import read_gauge, read_length_mm

NOT_GIVEN = "thickness not given: counted at 1.00 a stroke"
THICKEST_MM = 150.0
DIE_SHARE = "die_share"
"""The factor of a die: it takes a share of what its punch takes."""


@dataclass(frozen=True, slots=True)
class Work:
    """What strokes went through, and how. Without a thickness every stroke weighs 1."""

    thickness_mm: float | None = None
    material: Material | None = field(default=None, hash=False)
    manner: Manner = AS_USUAL


@dataclass(frozen=True, slots=True)
class Weight:
    """The weight of one stroke, its factors, and the words for why."""

    severity: Severity
    why: str

    @property
    def each(self) -> float:
        """What one stroke weighs."""
        return self.severity.total


def read_work(rules: Rules, thickness: str, material: str, manner: Manner = AS_USUAL) -> Work:
    """The work of a line from what was written; a gauge is read by its material.

    Raises:
        UnknownName: for a material that is not known.
        Refused: for a material that nobody knows how to weigh.
        BadQuantity: for a thickness that cannot be read.
        BadValue: for one outside its limits.
    """
    if not thickness.strip() and not material.strip():
        return Work(manner=manner)
    return work_through(*read_work_plate(rules, thickness, material), manner)


def work_through(thickness_mm: float | None, found: Material, manner: Manner = AS_USUAL) -> Work:
    """The work in a plate that is known.

    Raises:
        Refused: for a material that nobody knows how to weigh.
    """
    if found.wear_factor is None:
        message = f"{found.name} has no wear factor, so a stroke in it cannot be weighed"
        key = f"material.{found.name}.wear_factor"
        change = act("rules.change", key=key, value=None, why=None)
        raise Refused(message, way_out=saying(change, ", then log it"))
    return Work(thickness_mm, found, manner)


def read_work_plate(rules: Rules, thickness: str, material: str) -> tuple[float | None, Material]:
    """Thickness (None when not written) and material (the shop's own default when not).

    Raises:
        UnknownName: for a material that is not known.
        BadQuantity: for a thickness that cannot be read.
        BadValue: for one outside its limits.
    """
    found = rules.material(material.strip() or rules.text("material.default"))
    if not thickness.strip():
        return None, found
    gauge = read_gauge(thickness)
    if gauge is not None:
        return gauge_thickness_mm(gauge, found.gauge_system), found
    bare = rules.system
    thickness_mm = read_length_mm(thickness, bare)
    if thickness_mm > THICKEST_MM:
        message = f"thickness {thickness.strip()[:40]!r} must be <= {THICKEST_MM:g} mm"
        raise BadValue(message, way_out="check the figure and its unit")
    return plain_thickness_mm(thickness, thickness_mm, rules), found


class Weigher:
    """Weighs strokes, each different one once."""

    def __init__(self, rules: Rules) -> None:
        self._rules = rules
        self._known: dict[tuple[int, int, Work], Weight] = {}
        self._severities: dict[tuple[object, ...], Severity] = {}

    def weigh(self, piece: PieceCard, die: PieceCard | None, work: Work) -> Weight:
        """The weight of one stroke on a piece, over a die when one is known."""
        key = (piece.id, die.id if die else 0, work)
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self._fresh(piece, die, work)
        return found

    def die_share(self, weight: Weight, punch_tag: str) -> Weight:
        """What the same stroke weighs on the die under the punch."""
        share = on_role(1.0, "die", self._rules)
        why = f"{share:g} of {weight.each:.2f} on {punch_tag}"
        return Weight(weight.severity.times(DIE_SHARE, share), why)

    def _fresh(self, piece: PieceCard, die: PieceCard | None, work: Work) -> Weight:
        if work.thickness_mm is None or work.material is None:
            severity, why = Severity(), NOT_GIVEN
        else:
            severity = self._severity(piece, die, Plate(work.thickness_mm, work.material), work)
            why = _why(severity)
        share = on_role(1.0, piece.role, self._rules)
        if share == 1.0:
            return Weight(severity, why)
        return Weight(severity.times(DIE_SHARE, share), f"{why}; a die takes {share:g} of it")

    def _severity(
        self, piece: PieceCard, die: PieceCard | None, plate: Plate, work: Work
    ) -> Severity:
        """The weight factor by factor; pieces of one size over dies of one size weigh alike."""
        key = (piece.role, piece.shape, *size_now_mm(piece), *_size(die), work)
        found = self._severities.get(key)
        if found is None:
            found = self._severities[key] = self._fresh_severity(piece, die, plate, work)
        return found

    def _fresh_severity(
        self, piece: PieceCard, die: PieceCard | None, plate: Plate, work: Work
    ) -> Severity:
        return stroke_severity(
            plate,
            self._rules,
            work.manner,
            clearance_pct=_clearance_pct(piece, die, plate.thickness_mm),
            stress_mpa=self._stress_mpa(piece, plate),
        )

    def _stress_mpa(self, piece: PieceCard, plate: Plate) -> float | None:
        """The stress in a punch's point; None where size or strength is not known."""
        outline = _outline(piece) if piece.role == "punch" else None
        if outline is None:
            return None
        try:
            shear_mpa = shear_strength(plate.material, self._rules).shear_mpa
        except BadInput:
            return None
        force_n = punching_force_n(perimeter_mm(outline), plate.thickness_mm, shear_mpa)
        return punch_stress_mpa(force_n, area_mm2(outline))


def _size(card: PieceCard | None) -> tuple[float | None, float | None]:
    return (None, None) if card is None else size_now_mm(card)


def _outline(piece: PieceCard) -> Outline | None:
    width_mm, long_mm = size_now_mm(piece)
    for shape in SHAPES:
        if shape == piece.shape and width_mm is not None:
            one_size = shape in ("round", "square", "hexagon")
            return Outline(shape, width_mm, width_mm if one_size else long_mm or width_mm)
    return None


def _clearance_pct(piece: PieceCard, die: PieceCard | None, thickness_mm: float) -> float | None:
    """The tighter clearance of a pair, of the thickness; None when a size is not known."""
    if die is None or piece.role != "punch":
        return None
    punch_mm, die_mm = _size(piece), _size(die)
    gaps_mm = [
        total_clearance_mm(small, big)
        for small, big in zip(punch_mm, die_mm, strict=True)
        if small is not None and big is not None
    ]
    return percent_of_thickness(min(gaps_mm), thickness_mm) if gaps_mm else None


def _why(severity: Severity) -> str:
    named = [f"{one.name} {one.value:.4g}" for one in severity.factors if one.value != 1.0]
    return " x ".join(named) or "all factors 1"
