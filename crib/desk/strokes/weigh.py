"""What a logged stroke weighs: from the plate, the pair and the hit, by the shop's rules."""

from __future__ import annotations

from dataclasses import dataclass, field

from crib.desk.common.piece_standing import size_now_mm
from crib.errors import BadInput, BadValue, Refused
from crib.features.common.ask import Circumstances, Plate
from crib.features.common.pair_wear import hit_severity, on_role
from crib.features.common.strength import shear_strength
from crib.stock.queries.pieces import PieceCard
from crib.trade.life.wear import Hit, Severity
from crib.trade.metal.clearance import percent_of_thickness, total_clearance_mm
from crib.trade.metal.force import punching_force_n
from crib.trade.metal.gauges import gauge_thickness_mm
from crib.trade.metal.materials import Material
from crib.trade.metal.punch_strength import punch_stress_mpa
from crib.trade.metal.shapes import SHAPES, Outline, area_mm2, perimeter_mm
from crib.trade.shop.shop_rules import Rules
from crib.units import System, read_gauge, read_length_mm

NOT_GIVEN = "thickness not given: counted at 1.00 a stroke"
THICKEST_MM = 150.0


@dataclass(frozen=True, slots=True)
class Work:
    """What strokes went through, and how. Without a thickness every stroke weighs 1."""

    thickness_mm: float | None = None
    material: Material | None = field(default=None, hash=False)
    hit: Hit = "full"
    dry: bool = False


@dataclass(frozen=True, slots=True)
class Weight:
    """The weight of one stroke, and the words for why."""

    each: float
    why: str


def read_work(
    rules: Rules, thickness: str, material: str, hit: Hit = "full", dry: bool = False
) -> Work:
    """The work of a line from what was written; a gauge is read by its material.

    Raises:
        UnknownName: for a material that is not known.
        Refused: for a material that nobody knows how to weigh.
        BadQuantity: for a thickness that cannot be read.
        BadValue: for one outside its limits.
    """
    if not thickness.strip() and not material.strip():
        return Work(hit=hit, dry=dry)
    return work_through(*read_plate(rules, thickness, material), hit, dry)


def work_through(
    thickness_mm: float | None, found: Material, hit: Hit = "full", dry: bool = False
) -> Work:
    """The work in a plate that is known.

    Raises:
        Refused: for a material that nobody knows how to weigh.
    """
    if found.wear_factor is None:
        message = f"{found.name} has no wear factor, so a stroke in it cannot be weighed"
        way_out = f"`crib rules material.{found.name}.wear_factor VALUE --why ...`, then log it"
        raise Refused(message, way_out=way_out)
    return Work(thickness_mm, found, hit, dry)


def read_plate(rules: Rules, thickness: str, material: str) -> tuple[float | None, Material]:
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
    bare: System = "mm" if rules.text("crib.unit") == "mm" else "in"
    thickness_mm = read_length_mm(thickness, bare)
    if thickness_mm > THICKEST_MM:
        message = f"thickness {thickness.strip()[:40]!r} must be <= {THICKEST_MM:g} mm"
        raise BadValue(message, way_out="check the figure and its unit")
    return thickness_mm, found


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
        each = on_role(weight.each, "die", self._rules)
        return Weight(each, f"{each / weight.each:g} of {weight.each:.2f} on {punch_tag}")

    def _fresh(self, piece: PieceCard, die: PieceCard | None, work: Work) -> Weight:
        if work.thickness_mm is None or work.material is None:
            total, why = 1.0, NOT_GIVEN
        else:
            weighed = self._severity(piece, die, Plate(work.thickness_mm, work.material), work)
            total, why = weighed.total, _why(weighed)
        each = on_role(total, piece.role, self._rules)
        if each != total:
            why = f"{why}; a die takes {each / total:g} of it"
        return Weight(each, why)

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
        return hit_severity(
            plate,
            self._rules,
            Circumstances(dry=work.dry),
            clearance_pct=_clearance_pct(piece, die, plate.thickness_mm),
            stress_mpa=self._stress_mpa(piece, plate),
            hit=work.hit,
        )

    def _stress_mpa(self, piece: PieceCard, plate: Plate) -> float | None:
        """The stress in a punch's point; None where size or strength is not known."""
        outline = _outline(piece) if piece.role == "punch" else None
        if outline is None:
            return None
        try:
            shear_mpa = shear_strength(plate.material, self._rules, Circumstances()).shear_mpa
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


def _why(found: Severity) -> str:
    factors = (
        ("material", found.material),
        ("thickness", found.thickness),
        ("clearance", found.clearance),
        ("dry", found.lubrication),
        ("hit", found.hit),
        ("stress", found.stress),
    )
    named = [f"{name} {factor:.4g}" for name, factor in factors if factor != 1.0]
    return " x ".join(named) or "all factors 1"
