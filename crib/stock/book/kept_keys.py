"""Keys that requests were made with, each kept in the transaction of its act."""

from __future__ import annotations

from base64 import b64decode, b64encode
from dataclasses import dataclass
from zlib import compress, decompress

from crib.stock.book.ledger import Stamp
from crib.stock.engine.session import Session

_LONGEST_CELL = 30_000
_PACKED = "zlib "


@dataclass(frozen=True, slots=True)
class KeptKey:
    """A request that was made with a key: what for, when, by whom, and what was answered."""

    key: str
    command: str
    request: str
    digest: str
    answer: str
    made_at: str
    person: str


def kept_key(session: Session, key: str) -> KeptKey | None:
    """What a key was used for; None for a new one."""
    row = session.row(
        "SELECT kept_key.key, command, request, digest, answer, made_at, person.name AS person"
        " FROM kept_key JOIN person ON person.id = kept_key.person_id WHERE kept_key.key = ?",
        (key,),
    )
    return KeptKey(**{**dict(row), "answer": _unpacked(row["answer"])}) if row else None


def last_entry(session: Session) -> int:
    """The number of the newest entry; 0 in an empty ledger."""
    return int(session.value("SELECT max(id) FROM entry") or 0)


def keep_key(session: Session, stamp: Stamp, kept: KeptKey, after: int) -> None:
    """Keep a key beside what was done with it: the newest act since an entry, where there is one.

    Raises:
        RowRefused: for a key or a command that its table does not take.
    """
    act = session.value("SELECT act FROM entry WHERE id > ? ORDER BY id DESC LIMIT 1", (after,))
    session.add(
        "kept_key",
        {"key": kept.key, "command": kept.command, "request": kept.request}
        | {"digest": kept.digest, "answer": _packed(kept.answer), "act": act or ""}
        | {"person_id": stamp.person_id, "made_at": stamp.made_at},
    )


def _packed(answer: str) -> str:
    """An answer that a workbook's cell can hold: a long one is packed."""
    if len(answer) <= _LONGEST_CELL:
        return answer
    return _PACKED + b64encode(compress(answer.encode())).decode()


def _unpacked(kept: str) -> str:
    if not kept.startswith(_PACKED):
        return kept
    return decompress(b64decode(kept.removeprefix(_PACKED))).decode()
