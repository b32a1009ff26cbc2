"""Browsers and programs that the page lets in, and the one code that lets the next one in."""

from __future__ import annotations

from dataclasses import dataclass

from crib.stock.book.ledger import Stamp
from crib.stock.engine.session import Session

_DEVICE = (
    "SELECT device.id AS number, device.name, device.sort, device.may, token_hash,"
    " person.name AS let_in_by, paired_at, revoked_at, device.site_id"
    " FROM device JOIN person ON person.id = device.person_id"
)


@dataclass(frozen=True, slots=True)
class KeptDevice:
    """A device as the crib keeps it; ``token_hash`` is empty for one taken in from an export."""

    number: int
    name: str
    sort: str
    may: str
    token_hash: str
    let_in_by: str
    paired_at: str
    revoked_at: str
    site_id: int | None = None


@dataclass(frozen=True, slots=True)
class OpenCode:
    """The code that lets the next device in, hashed."""

    name: str
    may: str
    code_hash: str
    tries_left: int
    expires_s: float
    person_id: int


def device_numbered(session: Session, number: int) -> KeptDevice | None:
    """The device of a number."""
    row = session.row(f"{_DEVICE} WHERE device.id = ?", (number,))
    return KeptDevice(**dict(row)) if row else None


def all_devices(session: Session) -> list[KeptDevice]:
    """Every device that was ever let in, the newest last."""
    return [KeptDevice(**dict(row)) for row in session.rows(f"{_DEVICE} ORDER BY device.id")]


def let_in(session: Session, stamp: Stamp, name: str, sort: str, may: str, token_hash: str) -> int:
    """Keep a device, at the home site of who let it in; returns its number.

    Raises:
        RowRefused: for a name that is taken, empty or too long.
    """
    home = session.value("SELECT site_id FROM person WHERE id = ?", (stamp.person_id,))
    return session.insert(
        "device",
        {"name": name, "sort": sort, "may": may, "token_hash": token_hash}
        | {"person_id": stamp.person_id, "paired_at": stamp.made_at, "revoked_at": ""}
        | {"site_id": home},
    )


def shut_out(session: Session, number: int, at: str) -> None:
    """Let a device in no more; its row stays, its token goes."""
    sql = "UPDATE device SET revoked_at = ?, token_hash = '' WHERE id = ?"
    session.run(sql, (at, number))


def open_code(session: Session) -> OpenCode | None:
    """The code that is open, if one is."""
    row = session.row(
        "SELECT name, may, code_hash, tries_left, expires_s, person_id FROM pairing_code"
    )
    return OpenCode(**dict(row)) if row else None


def put_code(session: Session, code: OpenCode | None) -> None:
    """Have this code open and no other; None for none."""
    session.run("DELETE FROM pairing_code")
    if code is not None:
        session.insert(
            "pairing_code",
            {"name": code.name, "may": code.may, "code_hash": code.code_hash}
            | {"tries_left": code.tries_left, "expires_s": code.expires_s}
            | {"person_id": code.person_id},
        )
