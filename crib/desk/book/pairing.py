"""Letting a browser or a program in at the page: a code for one, a token for the other."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import UTC, datetime

from crib.acts import act, saying
from crib.desk.common.secret_hashes import (
    dear_hash,
    is_dear_hash_of,
    is_token,
    new_token,
    token_hash,
)
from crib.errors import Missing, Refused
from crib.stock.book.devices import (
    KeptDevice,
    OpenCode,
    all_devices,
    device_numbered,
    let_in,
    open_code,
    put_code,
    shut_out,
)
from crib.stock.book.ledger import new_stamp
from crib.stock.book.names import name_meant
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session

CODE_DIGITS = 8
CODE_HOLDS_S = 300
CODE_TRIES = 5
_LONGEST_CREDENTIAL = 100
_MOST_FIGURES = 12


@dataclass(frozen=True, slots=True)
class NewCode:
    """A code that lets one device in, told once."""

    code: str
    name: str
    may: str
    holds_s: int = CODE_HOLDS_S


@dataclass(frozen=True, slots=True)
class LetIn:
    """A device that was let in; ``credential`` is what it shows from now on, told once."""

    name: str
    may: str
    credential: str


@dataclass(frozen=True, slots=True)
class ListedDevice:
    """A device as it is listed: nothing of its secret."""

    name: str
    sort: str
    may: str
    let_in_by: str
    paired_at: str
    revoked_at: str
    pair_anew: bool


def make_code(
    session: Session,
    name: str,
    *,
    look_only: bool = False,
    by: str = "",
    now: datetime | None = None,
) -> NewCode:
    """Open a code for the next device; one that was open before is gone.

    Raises:
        Refused: for a name that another device has.
        UnknownName: when nobody is called ``by``.
    """
    code = "".join(secrets.choice("0123456789") for _digit in range(CODE_DIGITS))
    may = "look" if look_only else "all"
    until = (now or datetime.now(UTC)).timestamp() + CODE_HOLDS_S
    with session.writing():
        _require_free(session, name.strip())
        owner = person_id(session, by)
        kept = OpenCode(name.strip(), may, dear_hash(code), CODE_TRIES, until, owner)
        put_code(session, kept)
    return NewCode(code, name.strip(), may)


def take_code(session: Session, code: str, now: datetime | None = None) -> LetIn | None:
    """Let a browser in by the code that is open; None for any other, whatever is wrong with it."""
    moment = now or datetime.now(UTC)
    digits = "".join(filter(str.isalnum, code))
    if open_code(session) is None:
        return None
    with session.writing():
        found = open_code(session)
        if found is None or found.expires_s <= moment.timestamp() or not found.tries_left:
            put_code(session, None)
            return None
        if not is_dear_hash_of(digits, found.code_hash):
            put_code(session, _one_try_less(found))
            return None
        put_code(session, None)
        name = found.name or _next_name(session)
        _require_free(session, name)
        return _let_in(session, name, "browser", found.may, found.person_id, moment)


def make_program(
    session: Session,
    name: str,
    *,
    look_only: bool = False,
    by: str = "",
    now: datetime | None = None,
) -> LetIn:
    """Let a program in; its token is told once.

    Raises:
        Missing: without a name.
        Refused: for a name that another device has.
        UnknownName: when nobody is called ``by``.
    """
    if not name.strip():
        message = "which program the token is for was not said"
        raise Missing(message, way_out="give it a name, such as board")
    with session.writing():
        _require_free(session, name.strip())
        may = "look" if look_only else "all"
        owner = person_id(session, by)
        return _let_in(session, name.strip(), "program", may, owner, now or datetime.now(UTC))


def list_devices(session: Session) -> tuple[ListedDevice, ...]:
    """Every device that was ever let in."""
    return tuple(
        ListedDevice(
            one.name,
            one.sort,
            one.may,
            one.let_in_by,
            one.paired_at,
            one.revoked_at,
            not one.token_hash and not one.revoked_at,
        )
        for one in all_devices(session)
    )


def revoke(session: Session, name: str, *, now: datetime | None = None) -> ListedDevice:
    """Shut a device out, from its next request on.

    Raises:
        UnknownName: when no device that is let in has that name.
    """
    at = (now or datetime.now(UTC)).astimezone(UTC).isoformat(timespec="milliseconds")
    with session.writing():
        live = {one.name: one for one in all_devices(session) if not one.revoked_at}
        way_out = saying("look at them with ", act("serve.devices"))
        meant = live[name_meant(name, list(live), "no device is called", way_out)]
        shut_out(session, meant.number, at.replace("+00:00", "Z"))
    return next(one for one in list_devices(session)[::-1] if one.name == meant.name)


def device_showing(session: Session, credential: str, sort: str) -> KeptDevice | None:
    """The device that shows a cookie or a token; None for one that is not, or no more, let in."""
    number, _dot, token = credential[:_LONGEST_CREDENTIAL].partition(".")
    if not (number.isascii() and number.isdecimal() and len(number) <= _MOST_FIGURES):
        return None
    found = device_numbered(session, int(number))
    if found is None or found.revoked_at or found.sort != sort:
        return None
    return found if is_token(token, found.token_hash) else None


def _one_try_less(code: OpenCode) -> OpenCode | None:
    left = code.tries_left - 1
    if not left:
        return None
    return OpenCode(code.name, code.may, code.code_hash, left, code.expires_s, code.person_id)


def _let_in(session: Session, name: str, sort: str, may: str, owner: int, now: datetime) -> LetIn:
    token = new_token()
    number = let_in(session, new_stamp(owner, now=now), name, sort, may, token_hash(token))
    return LetIn(name, may, f"{number}.{token}")


def _next_name(session: Session) -> str:
    return f"device {len(all_devices(session)) + 1}"


def _require_free(session: Session, name: str) -> None:
    taken = {one.name.casefold(): one for one in all_devices(session) if not one.revoked_at}
    found = taken.get(name.casefold())
    if found is not None:
        message = f"a {found.sort} called {found.name!r} is let in already"
        shutting = act("serve.revoke", device=found.name)
        way_out = saying("take another name, or shut that one out: ", shutting)
        raise Refused(message, way_out=way_out)
