"""What one row must hold together, beyond each cell by itself; and what an empty cell may become.

The tables repeat most of this as CHECK constraints; here it is said with the column and the way
out. What the tables do not ask is not asked of a full export either, so that it goes back in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from crib.desk.common.own_names import require_free
from crib.desk.shelf.add import read_tag
from crib.desk.tables.import_state import Intake
from crib.files.tables.cells import Units
from crib.files.tables.columns import Table
from crib.stock.book.own_materials import own_materials
from crib.stock.book.people import person_name
from crib.trade.metal.own_materials import own_material
from crib.trade.shop.shop_rules import WITHDRAWN, canonical_key, check_rule, is_number
from crib.units import format_length
from crib.words import PAGE_ACTS

Values = dict[str, Any]
Fault = tuple[str, str]
"""A column and what is wrong with it."""

MAY_ALL = "all"
"""Takes back what was said of a person's rights."""
_ONE_SIZE = ("round", "square", "hexagon")
_TWO_SIZES = ("rectangle", "obround")


def kind_name(values: Values, crib: Units) -> str:
    """A name made from what a kind is: ``round punch 13/16 in, seat A``."""
    sizes = [values[name] for name in ("size", "long") if values[name]]
    words = [values["shape"], values["role"].replace("_", " ")]
    words.append(
        " x ".join(format_length(size, crib.system, with_unit=False, digits=4) for size in sizes)
    )
    if sizes:
        words.append(crib.system)
    name = " ".join(word for word in words if word)
    return f"{name}, seat {values['seat']}" if values["seat"] else name


def complete(table: Table, values: Values, intake: Intake) -> None:
    """Fill what an empty cell leaves to the rest of the row, and bring keys to their one writing.

    Raises:
        UnknownName: for a shop rule that does not exist.
        BadValue: for a shop rule outside its limits, or a tag that cannot be stamped.
    """
    if table.name in ("people", "site_roles"):
        said = values["may"].replace(",", " ").replace(";", " ").casefold().split()
        values["may"] = "" if said == [MAY_ALL] else " ".join(said)
    if table.name == "kinds":
        _complete_kind(values, intake)
    if table.name == "pieces":
        values["tag"] = values["tag"] if intake.whole else read_tag(values["tag"])
        _complete_strokes(values)
    if table.name in ("rules", "site_rules") and not (intake.whole and values["key"] in WITHDRAWN):
        values["key"] = canonical_key(values["key"])
        # A whole export may be of before: beyond today's limits it is held to them when read.
        if not (intake.whole and is_number(values["key"])):
            own = own_materials(intake.session) if values["key"] == "material.default" else ()
            values["value"] = check_rule(values["key"], values["value"], own)
    if table.name == "materials":
        _complete_material(values, intake)
    if table.name in ("wants", "methods", "rules", "site_rules", "materials"):
        _complete_who_and_when(values, intake)


def _complete_material(values: Values, intake: Intake) -> None:
    """What the row leaves open by its family; a name must be free and read back."""
    made = own_material(
        values["name"],
        values["family"],
        (values["tensile"], values["upper tensile"]),
        values["source"],
        aliases=[name.strip() for name in values["also"].split(";") if name.strip()],
        yield_mpa=values["yield"],
        multiplier=values["multiplier"],
        min_hole_ratio=values["hole ratio"],
        bend_radius_t=values["bend radius"],
    )
    others = [one for one in own_materials(intake.session) if one.name != made.name]
    require_free(made, others, intake.rules)
    values["name"], values["also"] = made.name, "; ".join(made.aliases)
    values["multiplier"], values["hole ratio"] = made.multiplier, made.min_hole_ratio


def _complete_kind(values: Values, intake: Intake) -> None:
    """A rectangle with equal sides is a square, under whichever name it is asked for."""
    equal = values["long"] is not None and values["long"] == values["size"]
    if values["shape"] == "rectangle" and values["role"] in ("punch", "die") and equal:
        values["shape"], values["long"] = "square", None
    if not values["name"]:
        values["name"] = kind_name(values, intake.crib)


def _complete_strokes(values: Values) -> None:
    """Say no less than is known: an edge that was never told of has all the strokes on it."""
    new, edge, wear = (values[n] for n in ("strokes since new", "strokes since grind", "wear"))
    values["strokes since new"] = new if new is not None else edge or 0
    values["strokes since grind"] = edge if edge is not None else values["strokes since new"]
    values["wear"] = wear if wear is not None else values["strokes since grind"] * 1000


def _complete_who_and_when(values: Values, intake: Intake) -> None:
    made_at = intake.stamp().made_at
    for column in ("first at", "last at", "changed at"):
        if column in values and values[column] is None:
            values[column] = made_at
    if values["person"] is None:
        values["person"] = person_name(intake.session, intake.stamp().person_id)


def check(table: Table, values: Values, *, whole: bool) -> Iterator[Fault]:
    """Everything that is wrong with a row as a whole."""
    yield from _NEEDED.get(table.name, _nothing)(values)
    if not whole:
        yield from _SENSIBLE.get(table.name, _nothing)(values)


def _nothing(_values: Values) -> Iterator[Fault]:
    yield from ()


def _check_person(values: Values) -> Iterator[Fault]:
    unknown = [one for one in values["may"].split() if one not in PAGE_ACTS]
    if unknown:
        yield "may", f"{unknown[0]!r} is none of {', '.join(PAGE_ACTS)}, or {MAY_ALL}"


def _check_seat(values: Values) -> Iterator[Fault]:
    punch_side = values["head diameter"] and values["body diameter"]
    if not punch_side and not (values["die diameter"] and values["die height"]):
        text = "a seat needs head and body diameter, or die diameter and die height"
        yield "head diameter", text


def _check_place(values: Values) -> Iterator[Fault]:
    if (values["sort"] == "station") != (values["station"] is not None):
        yield "station", "a place of sort station names its station, and no other place does"


def _check_kind(values: Values) -> Iterator[Fault]:
    role, size, long = values["role"], values["size"], values["long"]
    if role in ("punch", "die"):
        if not values["shape"]:
            yield "shape", f"a {role} needs its shape: round, square, rectangle, hexagon, obround"
        if size is None:
            yield "size", f"a {role} needs its size, such as 13/16"
    if role in ("punch_adapter", "die_adapter"):
        yield from _check_joins(values)
    if long is not None and (size is None or long < size):
        yield "long", "the long side must be at least the size"
    if values["edges"] not in (1, 2, 4):
        yield "edges", f"edges {values['edges']} must be 1, 2 or 4"


def _check_joins(values: Values) -> Iterator[Fault]:
    for column in ("seat", "presents seat"):
        if values[column] is None:
            yield column, "an adapter needs the seat it fits and the seat it presents"


def _check_kind_sense(values: Values) -> Iterator[Fault]:
    shape, size, long = values["shape"], values["size"], values["long"]
    if values["role"] == "attachment":
        yield from _check_joins(values)
    if shape in _TWO_SIZES and long is None and values["depth"] is None:
        yield "long", f"{shape}: it needs its long side"
    if shape in _ONE_SIZE and long is not None and long != size:
        yield "long", f"{shape}: it has one size; a longer one is a rectangle or an obround"
    length, least = values["length"], values["least length"]
    if length is not None and least is not None and least > length:
        yield "least length", "it must be at most the length when new"


def _check_seat_sense(values: Values) -> Iterator[Fault]:
    if ";" in values["name"]:
        yield "name", "a seat's name cannot hold ';', which stands between seats"


def _check_station_sense(values: Values) -> Iterator[Fault]:
    daylight_mm, stroke_mm = values["daylight"], values["stroke"]
    if daylight_mm is not None and stroke_mm is not None and stroke_mm >= daylight_mm:
        yield "stroke", "it must be less than the daylight: both from seat to seat, no tools in"


def _check_envelope(values: Values) -> Iterator[Fault]:
    if (values["station"] is None) == (values["kind"] is None):
        yield "station", "give the station or the kind, one of them"
    if values["angle"] >= 90:
        yield "angle", f"angle {values['angle']:g} must be below 90"


def _check_piece(values: Values) -> Iterator[Fault]:
    if values["edge"] < 1:
        yield "edge", "edge 0 must be 1 to 4"


def _check_piece_sense(values: Values) -> Iterator[Fault]:
    new, edge = values["strokes since new"], values["strokes since grind"]
    if new < edge:
        yield "strokes since new", f"{new} must be at least the {edge} since the grind"


def _check_order(values: Values) -> Iterator[Fault]:
    if values["received"] > values["quantity"]:
        text = f"received {values['received']} must be at most the {values['quantity']} ordered"
        yield "received", text


_NEEDED: dict[str, Callable[[Values], Iterator[Fault]]] = {
    "people": _check_person,
    "seats": _check_seat,
    "places": _check_place,
    "kinds": _check_kind,
    "envelopes": _check_envelope,
    "pieces": _check_piece,
    "orders": _check_order,
}
_SENSIBLE: dict[str, Callable[[Values], Iterator[Fault]]] = {
    "seats": _check_seat_sense,
    "stations": _check_station_sense,
    "kinds": _check_kind_sense,
    "pieces": _check_piece_sense,
}
