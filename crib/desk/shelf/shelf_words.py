"""Reading what is asked of the shelf: role, shape, size, seat, place, condition."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from crib.acts import act, saying
from crib.errors import AskBack, BadInput, BadValue, UnknownName
from crib.features.common.phrase import Words
from crib.spellings import size_words
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.kinds import all_seats
from crib.stock.queries.places import place_by_name
from crib.stock.queries.shelf import Filters
from crib.units import System, looks_like_length, read_length_mm
from crib.words import CONDITIONS, ROLES, SHAPES

_OTHER_WORDS = {"hex": "hexagon", "rect": "rectangle", "slot": "obround"}
_TIMES = ("x", "×", "by")
_TWO_SIZES = act("stock", words="13/16 x 1-7/8")


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
        BadValue: for a second size, seat or place.
        AskBack: for a word that may be a size or a place.
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
    """Words one by one, with ``AxB`` taken apart and a size of several words put together."""
    apart = [part for word in " ".join(words).split() for part in _apart(word)]
    tokens: list[str] = []
    while apart:
        count = size_words(apart) if looks_like_length(apart[0]) else 1
        tokens.append(" ".join(apart[:count]))
        del apart[:count]
    return tokens


def _apart(word: str) -> list[str]:
    sizes = looks_like_length(word) or word[:1] == "×"
    return [part.text for part in Words(word).rest()] if sizes else [word]


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
    if looks_like_length(word) and not _is_place(session, word):
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
    if filters.seat:
        message = f"a second seat, {' '.join(tokens[:1])[:40]}"
        raise BadValue(message, way_out="a piece has one seat: say one of them")
    known = [seat.name for seat in all_seats(session)]
    name = tokens.pop(0) if tokens else ""
    if name.casefold() not in (one.casefold() for one in known):
        message = f"no seat called {name[:40]!r}; known: {', '.join(known)}"
        raise UnknownName(message, way_out=saying("write it like ", act("stock", words="seat A")))
    return replace(filters, seat=name)


def _is_place(session: Session, word: str) -> bool:
    """Whether a word that looks like a size is a place.

    Raises:
        AskBack: for a place that is called like a size.
    """
    try:
        place = place_by_name(session, word)
    except UnknownName:
        return False
    unit = shop_rules(session).system
    if not _is_size(word, unit):
        return True
    message = f"{word[:40]!r} may be a size, or the place {place.name}"
    raise AskBack(message, way_out=saying(f"say {word}{unit}, or ", act("say.place")))


def _is_size(word: str, unit: System) -> bool:
    try:
        read_length_mm(word, unit)
    except BadInput:
        return False
    return True


def _condition(word: str) -> str:
    plain = word.strip().casefold()
    if plain not in CONDITIONS:
        message = f"no condition {word[:40]!r}; known: {', '.join(CONDITIONS)}"
        raise UnknownName(message)
    return plain


def _place(session: Session, filters: Filters, word: str) -> Filters:
    if filters.place_id is not None:
        message = f"a second place, {word[:40]}"
        raise BadValue(message, way_out="a piece lies at one place: say one of them")
    try:
        return replace(filters, place_id=place_by_name(session, word).id)
    except UnknownName:
        message = f"{word[:40]!r} is no role, shape, size, condition or place"
        example = act("stock", words="die round 27/32 seat A")
        others = ("; or ", act("say.place"), ", ", act("say.kind-text"))
        raise UnknownName(message, way_out=saying("say it like: ", example, *others)) from None
