"""What a pair for a hole must keep to, and a plan of several hits."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Polygon
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Point, box
from shapely.geometry.base import BaseGeometry

from tests.audit.asks import INCH, AuditAsk
from tests.audit.checks import (
    NEAR,
    SAME_MM,
    SHEAR_MPA,
    STEELS,
    STEPS,
    Taken,
    across_mm,
    adverse_share,
    area_mm2,
    limit_n,
    perimeter_mm,
)
from tests.audit.stacks import stack_faults
from tests.audit.world import Row, keys, long_mm, width_mm

ALIKE = {"obround": 180, "rectangle": 180, "square": 90, "hexagon": 60}
LONG = ("obround", "rectangle")
LEAST_BITE = {"chain": 0.6, "bridge": 0.35, "full": 0.999}


def punched_faults(ask: AuditAsk, one: Taken, system: str) -> Iterator[str]:
    """Everything that is wrong with a pair, or with the pairs of a plan."""
    pairs = [("punch", "die"), ("second punch", "second die")][: len(one.sizes) or 1]
    sizes = one.sizes or ((ask.sizes["width"], ask.sizes["long"]),)
    yield from _plan_faults(ask, one) if one.hits else _size_faults(ask, one)
    for (punch, die), wanted in zip(_rows(one, pairs), sizes, strict=True):
        made = (width_mm(punch), long_mm(punch))
        if ask.sizes.get("ream"):
            wanted = _to_ream(made[0], system)
        off = max(abs(made[0] - wanted[0]), abs(made[1] - wanted[1]))
        if off <= SAME_MM:
            # What the shop calls the same size counts as the wanted one, at every limit.
            made = wanted
        elif one.hits:
            yield f"{punch['tag']} is {off:.3f} mm off what its hits are laid out for"
        yield from _pair_faults(ask, one, punch, die, made, system)
        yield from stack_faults(ask.thickness_mm, one, punch, die)
    yield from _metal_faults(ask)
    yield from _throat_faults(ask, one)


def _to_ream(made_mm: float, system: str) -> tuple[float, float]:
    """The usual size, a sixteenth or half a millimetre, that a punch to ream with is nearest to."""
    step_mm = INCH / 16 if system == "in" else 0.5
    usual_mm = round(made_mm / step_mm) * step_mm
    return usual_mm, usual_mm


def _rows(one: Taken, pairs: list[tuple[str, str]]) -> list[tuple[Row, Row]]:
    return [(one.pieces[punch], one.pieces[die]) for punch, die in pairs]


def _size_faults(ask: AuditAsk, one: Taken) -> Iterator[str]:
    """The punch is of the hole's size, as near as somebody lets it be, or small enough to ream."""
    punch, die, sizes = one.pieces["punch"], one.pieces["die"], ask.sizes
    shape, width, long = sizes["shape"], sizes["width"], sizes["long"]
    off = (width_mm(punch) - width, long_mm(punch) - long)
    if punch["shape"] != shape:
        yield f"punch {punch['tag']} is {punch['shape']}, not {shape}"
    if sizes.get("ream"):
        # 0.4 to 6.5 mm are reamed off, and the die's side of the hole is cleaned as well.
        if not -6.5 - 1e-4 <= off[0] <= -0.4 + 1e-4 or width_mm(die) > width - 0.4 + 1e-4:
            yield f"punch {punch['tag']} and die {die['tag']} to ream to {width:.2f}"
        return
    over, under = sizes.get("plus", SAME_MM) + 1e-6, sizes.get("minus", SAME_MM) + 1e-6
    if max(off) > over or min(off) < -under:
        yield f"punch {punch['tag']} is {off[0]:.3f} mm off {shape} {width} x {long}"
    if (
        sizes.get("by_standard")
        and max(map(abs, off)) > SAME_MM
        and "deviation" not in one.cautions
    ):
        yield f"punch {punch['tag']} is {off[0]:.3f} mm off by a standard, without a caution"


def _pair_faults(
    ask: AuditAsk, one: Taken, punch: Row, die: Row, made: tuple[float, float], system: str
) -> Iterator[str]:
    """One pair for an outline of its own shape in the plate that was asked for."""
    thick, steel, shape = ask.thickness_mm, STEELS[ask.material], punch["shape"]
    if die["shape"] != shape:
        yield f"die {die['tag']} is {die['shape']}, its punch {shape}"
    for gap in (width_mm(die) - width_mm(punch), long_mm(die) - long_mm(punch)):
        if gap <= 0:
            yield f"die {die['tag']} is not bigger than {punch['tag']}"
        elif not _on_step(gap, thick, system) and not 4.999 <= 100 * gap / thick <= 40.001:
            yield f"clearance {gap:.3f} in {thick:.2f}"
    if shape != "round":
        yield from _key_faults(punch, die)
    if shape in ("square", "rectangle"):
        yield from _corner_faults(ask.sizes.get("corner", 0.0), punch, die)
    body = max(punch["body_diameter_mm"] or 0.0, punch["nut_bore_mm"] or 0.0)
    if (
        punch["body_diameter_mm"] is None
        or across_mm(shape, width_mm(punch), long_mm(punch)) > body * NEAR
    ):
        yield f"{punch['tag']} does not go through its body"
    wall = ((die["die_diameter_mm"] or 0.0) - across_mm(shape, width_mm(die), long_mm(die))) / 2
    if wall < (5.0 if thick <= 6.35 * NEAR else 6.0) - 1e-4:
        yield f"die {die['tag']} has a wall of {wall:.2f}"
    if min(made) < steel.ratio * thick / NEAR:
        yield f"{min(made):.2f} is too thin for {thick:.2f} of {ask.material}"
    limit = limit_n(one, punch, die)
    force_n = perimeter_mm(shape, *made) * thick * SHEAR_MPA * steel.multiplier
    if force_n > limit * NEAR:
        yield f"{force_n:.0f} N of {limit:.0f}"
    if force_n > 0.8 * limit * NEAR and "force" not in one.cautions:
        yield f"{force_n:.0f} N of {limit:.0f} without a caution"
    stress = force_n / area_mm2(shape, *made)
    if stress > (punch["stress_limit_mpa"] or 1655.0) * NEAR:
        yield f"{stress:.0f} MPa in {punch['tag']}"
    if stress > (punch["stress_limit_mpa"] or 1380.0) * NEAR and "punch stress" not in one.cautions:
        yield f"{stress:.0f} MPa in {punch['tag']} without a caution"
    stronger = adverse_share(ask.material)
    if force_n * stronger > limit * NEAR and "adverse force" not in one.cautions:
        yield f"{force_n * stronger:.0f} N of {limit:.0f} in the strongest plate, unsaid"
    strong_mpa, limit_mpa = stress * stronger, punch["stress_limit_mpa"] or 1655.0
    if strong_mpa > limit_mpa * NEAR and "adverse stress" not in one.cautions:
        yield f"{strong_mpa:.0f} MPa in {punch['tag']} in the strongest plate, unsaid"


def _on_step(gap_mm: float, thickness_mm: float, system: str) -> bool:
    unit = INCH if system == "in" else 1.0
    low, high = next(
        (low * unit, high * unit)
        for start, low, high in reversed(STEPS[system])
        if thickness_mm >= start * unit - 1e-6
    )
    return low - 0.0501 <= gap_mm <= high + 0.0501


def _corner_faults(wanted: float, punch: Row, die: Row) -> Iterator[str]:
    """The punch has the corners that are asked for, and the die's do not close on them."""
    own, around = (min(one["corner_radius_mm"], width_mm(one) / 2) for one in (punch, die))
    if abs(own - wanted) > 0.4 + 1e-6:
        yield f"{punch['tag']} leaves corners of {own:.2f}, wanted {wanted:.2f}"
    gap = min(width_mm(die) - width_mm(punch), long_mm(die) - long_mm(punch)) / 2
    if gap * 2**0.5 - (around - own) * (2**0.5 - 1) < gap / 2 - 1e-6:
        yield f"{die['tag']} closes on the corners of {punch['tag']}"
    if own - around > 0.4 + 1e-6:
        yield f"{die['tag']} is sharp under the corners of {punch['tag']}"


def _key_faults(punch: Row, die: Row) -> Iterator[str]:
    """A shaped pair is keyed in both seats, at an angle at which both shapes lie alike."""
    alike = ALIKE[punch["shape"]]
    for piece in (punch, die):
        if not piece["keyed"]:
            yield f"{piece['tag']} can turn in its seat"
    if not {one % alike for one in keys(punch)} & {one % alike for one in keys(die)}:
        yield f"{punch['tag']} and {die['tag']} do not line up"


def _metal_faults(ask: AuditAsk) -> Iterator[str]:
    """At least one thickness is left to the edge, the end and the next hole."""
    for word in ("edge", "end", "pitch"):
        if word in ask.sizes:
            away, sideways = ask.sizes[word]
            shape, width, long = (ask.sizes[name] for name in ("shape", "width", "long"))
            size = across_mm(shape, width, long) if shape == "hexagon" else long
            metal = away - (width if sideways else size) * (1.0 if word == "pitch" else 0.5)
            if metal < ask.thickness_mm / NEAR:
                yield f"{metal:.2f} of metal to the {word}"


def _throat_faults(ask: AuditAsk, one: Taken) -> Iterator[str]:
    """A side that the keys let face the throat is near enough; nobody knowing it is a caution."""
    lying, shape = ask.sizes.get("lying"), ask.sizes["shape"]
    stands = {"along", "across"}
    for role, piece in one.pieces.items():
        if piece["shape"] in LONG:
            turned = any(
                hit["turned"] for hit in one.hits if role.startswith("second") == hit["pair"]
            )
            angles = {(angle + 90 * turned) % 180 for angle in keys(piece)}
            stands &= {way for way, angle in (("along", 0), ("across", 90)) if angle in angles}
    if lying and lying not in stands:
        yield f"keyed to lie {stands}, asked {lying}"
    sides = [ask.sizes[word] for word in ("edge", "end") if word in ask.sizes]
    if not sides:
        return
    throat = one.station["throat_mm"]
    ways = {
        "across" if sideways else "along": away for away, sideways in sorted(sides, reverse=True)
    }
    if shape in LONG:
        usable = stands & {lying} if lying else stands
        reaches = [_reach(away, way, one) for way, away in ways.items() if way in usable]
    elif shape == "square" and not _square_to_throat(one):
        reaches = []
    else:
        reaches = [away for away, _sideways in sides]
    if not reaches or throat is None:
        if "throat" not in one.cautions:
            yield "whether the throat reaches is not said"
    elif min(reaches) > throat * NEAR:
        yield f"{min(reaches):.1f} from the side, the throat is {throat}"


def _square_to_throat(one: Taken) -> bool:
    """Whether the keys let the flats of a square pair lie square to the throat."""
    shaped = [keys(piece) for piece in one.pieces.values() if piece["shape"] == "square"]
    return all(any(angle % 90 == 0 for angle in angles) for angles in shaped)


def _reach(away_mm: float, way: str, one: Taken) -> float:
    """To the furthest hit of a plan; its x goes along the long side."""
    axis = "x_mm" if way == "along" else "y_mm"
    return away_mm + max((abs(hit[axis]) for hit in one.hits), default=0.0)


def _plan_faults(ask: AuditAsk, one: Taken) -> Iterator[str]:
    """The hits cut the feature and nothing beside it, each with enough of its punch."""
    target = figure(ask.sizes["shape"], ask.sizes["width"], ask.sizes["long"])
    cut: BaseGeometry = Polygon()
    for hit in one.hits:
        punch = one.pieces["second punch" if hit["pair"] else "punch"]
        made = figure(punch["shape"], width_mm(punch), long_mm(punch))
        placed = translate(rotate(made, 90 if hit["turned"] else 0), hit["x_mm"], hit["y_mm"])
        fresh = placed.difference(cut).area / made.area
        if fresh < LEAST_BITE[hit["kind"]] - 0.02:
            yield f"hit {hit['number']} ({hit['kind']}) cuts {fresh:.2f} of its punch"
        if abs(fresh - hit["bite"]) > 0.03:
            yield f"hit {hit['number']} cuts {fresh:.2f}, told {hit['bite']}"
        cut = cut.union(placed)
    if not target.buffer(-0.6).within(cut.buffer(0.01)):
        yield "the hits leave metal in the feature"
    if not cut.within(target.buffer(2 * SAME_MM)):
        yield "the hits cut beside the feature"


def figure(shape: str, width: float, long: float) -> BaseGeometry:
    """An outline round its middle, the long side along x."""
    if shape == "round":
        return Point(0, 0).buffer(width / 2, quad_segs=64)
    if shape == "obround":
        half = (long - width) / 2
        return LineString([(-half, 0), (half, 0)]).buffer(width / 2, quad_segs=64)
    return box(-long / 2, -width / 2, long / 2, width / 2)
