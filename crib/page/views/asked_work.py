"""The question of an answer's address: the phrase, and what is known around it."""

from __future__ import annotations

from typing import Literal, cast
from urllib.parse import urlencode

from crib.desk.answer.find import Found, find
from crib.desk.answer.rank import Candidate
from crib.errors import BadValue, UnknownName
from crib.features.common.case import Appearance, Circumstances
from crib.page.frame.amiss import about
from crib.page.frame.reply import FormField
from crib.page.frame.request import PageRequest
from crib.units import read_count, read_stress_mpa

ASKS = (
    FormField("phrase", needed=True),
    FormField("quantity", "whole"),
    FormField("per_part", "whole"),
    FormField("job"),
    FormField("finish", "flag"),
    FormField("rough", "flag"),
    FormField("dry", "flag"),
    FormField("code"),
    FormField("exc", "whole"),
    FormField("dynamic", "flag"),
    FormField("cert_yield_mpa"),
    FormField("cert_tensile_mpa"),
)
PICK = FormField("pick", "whole")
_MOST_CLASS = 4


def asked_work(asked: PageRequest) -> Circumstances:
    """What is known around the question.

    Raises:
        BadInput: for a field that cannot be read, named in ``about``.
    """
    return Circumstances(
        quantity=_count(asked, "quantity") or 1,
        per_part=_count(asked, "per_part") or 1,
        job=asked["job"],
        appearance=_appearance(asked),
        code=asked["code"],
        execution_class=_count(asked, "exc", _MOST_CLASS),
        dynamic=bool(asked["dynamic"]),
        dry=bool(asked["dry"]),
        cert_yield_mpa=_stress_mpa(asked, "cert_yield_mpa"),
        cert_tensile_mpa=_stress_mpa(asked, "cert_tensile_mpa"),
    )


def found_for(asked: PageRequest) -> Found:
    """The answer to the question; nothing is remembered of it.

    Raises:
        BadInput: for a phrase or a field that cannot be read.
    """
    work = asked_work(asked)
    with about("phrase"):
        known = asked.as_it_is(asked.session).shop
        return find(asked.session, asked["phrase"], work, record=False, known=known)


def pick_of(asked: PageRequest, found: Found) -> Candidate | None:
    """The pick, or the near miss, that is looked at: the first unless the address names another.

    Raises:
        UnknownName: for a number that none has.
    """
    every = found.picks or found.near_misses
    number = _count(asked, PICK.name) or 1
    if number > len(every) and (every or number > 1):
        message = f"there is no pick {number}"
        raise UnknownName(message, way_out=f"there are {len(every)}")
    return every[number - 1] if every else None


def address_of(asked: PageRequest, place: str, **changed: str) -> str:
    """A place of the same question."""
    names = (*(one.name for one in ASKS), PICK.name)
    said = {name: asked[name] for name in names if asked[name]} | changed
    return f"{place}?{urlencode(said)}"


def _count(asked: PageRequest, name: str, most: int | None = None) -> int | None:
    if not asked[name]:
        return None
    with about(name):
        count = read_count(asked[name])
        if count < 1 or (most and count > most):
            message = f"{name}={count} must be 1{f' to {most}' if most else ' or more'}"
            raise BadValue(message)
    return count


def _stress_mpa(asked: PageRequest, name: str) -> float | None:
    with about(name):
        return read_stress_mpa(asked[name], "MPa") if asked[name] else None


def _appearance(asked: PageRequest) -> Appearance:
    said = [name for name in ("finish", "rough") if asked[name]]
    if len(said) > 1:
        message = "finish and rough cannot both be"
        raise BadValue(message, way_out="say one of them, or neither")
    return cast(Literal["finish", "rough"], said[0]) if said else "any"
