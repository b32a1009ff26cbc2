"""Reading what is asked of the shelf: role, shape, size, seat, place, condition."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from crib.acts import act, saying
from crib.errors import BadValue, UnknownName
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.kinds import all_seats
from crib.stock.queries.places import place_by_name
from crib.stock.queries.shelf import Filters
from crib.units import looks_like_length, read_length_mm
from crib.words import CONDITIONS, ROLES, SHAPES

_OTHER_WORDS = {"hex": "hexagon", "rect": "rectangle", "slot": "obround"}
_TIMES = ("x", "×", "by")
_TWO_SIZES = act("stock", words="13/16 x 1-7/8")
_UNITS = ("in", "mm", "inch", "inches")


def read_filters(
    session: Session,
    words: Sequence[str],
    *,
    place: str = "",
    kind: str = "",
    conditions: Sequence[str] = (),
) -> Filters:
    """Filters from loose words and options.

    Raises:
        UnknownName: for a word that is none of these, or a seat or place that is not there.
        BadQuantity: for a size that cannot be read.
        BadValue: for a second size or seat.
    """
    filters = Filters(kind=" ".join(kind.split()))
    tokens = _tokens(words)
    while tokens:
        filters = _take(session, filters, tokens)
    for word in conditions:
        filters = replace(filters, conditions=(*filters.conditions, _condition(word)))
    if place:
        filters = replace(filters, place_id=place_by_name(session, place).id)
    return filters


def _tokens(words: Sequence[str]) -> list[str]:
    """Words one by one, with a unit put back to its number and ``AxB`` taken apart."""
    tokens: list[str] = []
    for word in " ".join(words).split():
        if word.casefold() in _UNITS and tokens and looks_like_length(tokens[-1]):
            tokens[-1] += f" {word}"
        elif looks_like_length(word):
            tokens.extend(_apart(word))
        else:
            tokens.append(word)
    return tokens


def _apart(word: str) -> list[str]:
    parts = word.replace("×", "x").replace("X", "x").split("x")
    return [parts[0]] if len(parts) == 1 else [part for part in (parts[0], "x", *parts[1:]) if part]


def _take(session: Session, filters: Filters, tokens: list[str]) -> Filters:
    """Take the next word or two from the front."""
    word = tokens.pop(0)
    plain = word.casefold().replace("-", "_")
    single = plain.removesuffix("s").removesuffix("e") if plain == "punches" else plain
    single = _OTHER_WORDS.get(single, single)
    for name in (single, single.removesuffix("s")):
        if name in ROLES:
            return replace(filters, roles=(*filters.roles, name))
        if name in SHAPES:
            return replace(filters, shapes=(*filters.shapes, name))
    if plain in CONDITIONS:
        return replace(filters, conditions=(*filters.conditions, plain))
    if plain == "seat":
        return _seat(session, filters, tokens)
    if plain in _TIMES:
        return _long(session, filters, tokens)
    if looks_like_length(word):
        return _width(session, filters, word)
    return _place(session, filters, word)


def _width(session: Session, filters: Filters, word: str) -> Filters:
    if filters.width_mm is not None:
        message = f"a second size, {word[:40]}"
        raise BadValue(message, way_out=saying("a long side follows an x: ", _TWO_SIZES))
    return replace(filters, width_mm=read_length_mm(word, shop_rules(session).system))


def _long(session: Session, filters: Filters, tokens: list[str]) -> Filters:
    if filters.width_mm is None or not tokens or not looks_like_length(tokens[0]):
        message = "an x stands between two sizes"
        raise BadValue(message, way_out=saying("write it like ", _TWO_SIZES))
    return replace(filters, long_mm=read_length_mm(tokens.pop(0), shop_rules(session).system))


def _seat(session: Session, filters: Filters, tokens: list[str]) -> Filters:
    known = [seat.name for seat in all_seats(session)]
    name = tokens.pop(0) if tokens else ""
    if name.casefold() not in (one.casefold() for one in known):
        message = f"no seat called {name[:40]!r}; known: {', '.join(known)}"
        raise UnknownName(message, way_out=saying("write it like ", act("stock", words="seat A")))
    return replace(filters, seat=name)


def _condition(word: str) -> str:
    plain = word.strip().casefold()
    if plain not in CONDITIONS:
        message = f"no condition {word[:40]!r}; known: {', '.join(CONDITIONS)}"
        raise UnknownName(message)
    return plain


def _place(session: Session, filters: Filters, word: str) -> Filters:
    try:
        return replace(filters, place_id=place_by_name(session, word).id)
    except UnknownName:
        message = f"{word[:40]!r} is no role, shape, size, condition or place"
        example = act("stock", words="die round 27/32 seat A")
        others = ("; or ", act("say.place"), ", ", act("say.kind-text"))
        raise UnknownName(message, way_out=saying("say it like: ", example, *others)) from None
