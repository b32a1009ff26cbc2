"""A kind by what it is: the one that is there already, or a new one."""

from __future__ import annotations

from dataclasses import dataclass

from crib.acts import act, saying
from crib.errors import AskBack, BadValue, Missing, UnknownName
from crib.features.common.order_text import short_text
from crib.features.common.speech import Speech
from crib.features.common.tool_match import is_same_design, limits_of
from crib.features.common.tool_spec import ONE_SIZE, ToolSpec
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.kind_specs import kinds_of_shape
from crib.stock.queries.kinds import all_seats, kind_called, kinds_alike
from crib.stock.writers.kinds import add_kind
from crib.trade.common.verdicts import falls_short
from crib.units import format_length, read_length_mm
from crib.words import ROLES, SHAPES

MAKE_EXAMPLE = act("say.new-kind", role="punch", shape="round", size="13/16", seat="A")
WHICH_IS_LONGER = saying(act("say.size"), " is the shorter one, ", act("say.long"), " the longer")


@dataclass(frozen=True, slots=True)
class KindRequest:
    """A kind as it was typed; ``key`` lists key angles, None when nobody said."""

    role: str
    shape: str = ""
    size: str = ""
    long: str = ""
    seat: str = ""
    key: str | None = None


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A kind as it was read."""

    role: str
    shape: str
    width_mm: float | None
    long_mm: float | None
    seat: str
    seat_id: int | None
    key_angles: str | None


def find_or_make_kind(session: Session, request: KindRequest) -> tuple[int, bool]:
    """The kind of that role, shape, size, seat and key: its number, and whether it is new.

    Stands inside ``session.writing()``.

    Raises:
        UnknownName: for a role, shape or seat that is not there.
        Missing: for a punch or die without a shape, size or seat.
        AskBack: when several kinds differ only in what was not said.
    """
    wanted = _read(session, request)
    sizes_mm = (wanted.width_mm, wanted.long_mm)
    same = kinds_alike(
        session, wanted.role, wanted.shape, sizes_mm, wanted.seat_id, wanted.key_angles
    )
    if len(same) > 1:
        listed = ", ".join(repr(kind.name) for kind in same[:6])
        message = f"{len(same)} kinds are like that: {listed}"
        way_out = saying("say which with ", act("say.kind"))
        raise AskBack(message, choose="kind", way_out=way_out)
    return (same[0].id, False) if same else (_make(session, wanted), True)


def kind_of_spec(session: Session, spec: ToolSpec) -> int | None:
    """The kind of a tool to be ordered, made when there is none.

    None for what only a drawing describes. Stands inside ``session.writing()``.
    """
    if not spec.profile and (spec.width_mm is None or spec.shape == "special"):
        return None
    limits = limits_of(shop_rules(session))
    for kind in kinds_of_shape(session, spec):
        if is_same_design(kind.spec, spec, limits):
            return kind.id
    return add_kind(session, _free_name(session, spec), spec)


def _read(session: Session, request: KindRequest) -> _Wanted:
    unit = shop_rules(session).system
    role = _one_of(request.role, ROLES, "role")
    if role in ("punch_adapter", "die_adapter"):
        message = "an adapter has two seats and a rated force"
        way_out = saying("bring its kind in with ", act("import", file="kinds.csv"))
        raise BadValue(message, way_out=way_out)
    if role in ("set", "blade", "brake_tool", "attachment"):
        message = f"a {role.replace('_', ' ')} is found by more than its size: what it is made for"
        way_out = saying("bring its kind in with ", act("import", file="kinds.csv"))
        raise BadValue(message, way_out=way_out)
    shape = _one_of(request.shape, SHAPES, "shape") if request.shape else ""
    width_mm = read_length_mm(request.size, unit) if request.size else None
    long_mm = read_length_mm(request.long, unit) if request.long else None
    if role in ("punch", "die"):
        _must_be_whole(request, width_mm)
    _must_be_shaped(shape, width_mm, long_mm)
    if shape == "rectangle" and long_mm == width_mm:
        shape, long_mm = "square", None
    seat, seat_id = _seat(session, request.seat)
    return _Wanted(role, shape, width_mm, long_mm, seat, seat_id, _key(request.key))


def _one_of(word: str, known: tuple[str, ...], what: str) -> str:
    plain = word.strip().casefold().replace("-", "_").replace(" ", "_")
    plain = {"hex": "hexagon", "rect": "rectangle", "slot": "obround"}.get(plain, plain)
    if plain not in known:
        message = f"no {what} {word[:40]!r}; known: {', '.join(known)}"
        raise UnknownName(message)
    return plain


def _must_be_whole(request: KindRequest, width_mm: float | None) -> None:
    lacking = [
        what
        for what, given in (("shape", request.shape), ("size", width_mm), ("seat", request.seat))
        if not given
    ]
    if lacking:
        message = f"a new kind of {request.role} lacks {', '.join(lacking)}"
        raise Missing(message, way_out=saying(MAKE_EXAMPLE))


def _must_be_shaped(shape: str, width_mm: float | None, long_mm: float | None) -> None:
    if shape in ("rectangle", "obround") and long_mm is None:
        message = f"{shape}: it has two sizes"
        raise Missing(message, way_out=saying("give the longer one with ", act("say.long")))
    if long_mm is None:
        return
    if width_mm is None or shape in ONE_SIZE:
        message = f"a long side does not belong to a {shape or 'kind without a size'}"
        raise BadValue(message, way_out="leave it out, or choose rectangle or obround")
    if falls_short(long_mm, width_mm):
        message = f"long side {long_mm:g} mm must be at least the size {width_mm:g} mm"
        raise BadValue(message, way_out=WHICH_IS_LONGER)


def _seat(session: Session, name: str) -> tuple[str, int | None]:
    if not name.strip():
        return "", None
    seats = all_seats(session)
    for seat in seats:
        if seat.name.casefold() == name.strip().casefold():
            return seat.name, seat.id
    message = f"no seat called {name[:40]!r}; known: {', '.join(seat.name for seat in seats)}"
    way_out = saying("declare a seat in numbers with ", act("import", file="seats.csv"))
    raise UnknownName(message, way_out=way_out)


def _key(text: str | None) -> str | None:
    """Key angles in their one way of writing: ``0 90``; empty for none."""
    if text is None:
        return None
    words = text.replace(",", " ").replace("/", " ").replace("°", " ").split()
    if not all(word.isascii() and word.isdigit() and int(word) < 360 for word in words):
        message = f"key {text[:40]!r} must be angles from 0 to 359 degrees"
        one, two = act("say.key", key="0"), act("say.key", key="0,90")
        raise BadValue(message, way_out=saying("write it like ", one, " or ", two))
    return " ".join(str(angle) for angle in sorted({int(word) for word in words}))


def _make(session: Session, wanted: _Wanted) -> int:
    spec = ToolSpec(
        role=wanted.role,
        shape=wanted.shape,
        width_mm=wanted.width_mm,
        long_mm=wanted.long_mm,
        seat_name=wanted.seat,
        key_angles=tuple(int(angle) for angle in (wanted.key_angles or "").split()),
    )
    return add_kind(session, _free_name(session, spec), spec)


def _free_name(session: Session, spec: ToolSpec) -> str:
    """A name that says what the kind is, with a number behind it when that is taken."""
    name = short_text(spec, Speech(shop_rules(session))) if spec.profile else _name(session, spec)
    tried, number = name, 1
    while kind_called(session, tried) is not None:
        number += 1
        tried = f"{name} #{number}"
    return tried


def _name(session: Session, spec: ToolSpec) -> str:
    unit = shop_rules(session).system
    sides_mm = [spec.width_mm, None if spec.shape in ONE_SIZE else spec.long_mm]
    sides = [
        format_length(side_mm, unit, with_unit=unit == "mm", digits=4)
        for side_mm in sides_mm
        if side_mm is not None
    ]
    parts = [spec.shape, spec.role.replace("_", " "), " x ".join(sides)]
    parts += [f"seat {spec.seat_name}"] if spec.seat_name else []
    parts += [f"key {' '.join(map(str, spec.key_angles))}"] if spec.key_angles else []
    return " ".join(part for part in parts if part)
