"""Which piece is meant by a tag as it is typed: ``P-0120`` is also ``p-120``, ``P120``, ``p 120``.

A number alone is meant where one tag has it. A tag that is typed exactly is always that one; an
address of the page, as a scanner types it from a label, is the tag in it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from difflib import get_close_matches

from crib.acts import Said, act, saying
from crib.errors import UnknownName, UnsureName
from crib.stock.book.label_codes import read_code
from crib.stock.engine.session import Session

_SIGNS = " ._/+-"
_TYPED = re.compile(rf"[A-Z0-9][A-Z0-9{re.escape(_SIGNS)}]*")
_PARTS = re.compile("[A-Z]+|[0-9]+")
_SHORT = re.compile("[A-Za-z]{1,3}")


def tag_meant(session: Session, text: str) -> str:
    """The tag of the one piece that is meant.

    Raises:
        UnsureName: when several tags are alike but for signs, blanks and leading zeros.
        UnknownName: when no tag is; names the nearest.
    """
    text = tag_said(text)
    wanted = text.upper()
    if session.row("SELECT tag FROM piece WHERE tag = ?", (wanted,)) is not None:
        return wanted
    found = meant_among(text, _like(session, wanted))
    if found is None:
        message = f"no piece with tag {text[:40]!r}"
        raise UnknownName(message, way_out=_near(session, wanted))
    return found


def tag_said(text: str) -> str:
    """What was typed for a tag, of a label's address only the tag."""
    code = read_code(text)
    return text.strip() if code.sort == "drawer" else code.name


def meant_among(text: str, tags: Iterable[str]) -> str | None:
    """The one of some tags that a text means, or None.

    Raises:
        UnsureName: when it may mean several of them.
    """
    every = list(tags)
    wanted = text.strip().upper()
    found = [wanted] if wanted in every else [tag for tag in every if _alike(wanted, tag)]
    if len(found) > 1:
        message = f"tag {text[:40]!r} may be one of several: {', '.join(found)}"
        raise UnsureName(message, way_out="say which of them", readings=found)
    return next(iter(found), None)


def with_joined_tags(session: Session, words: Sequence[str]) -> list[str]:
    """Words in which a tag that was typed as two, ``p 120``, is one."""
    words = [tag_said(word) for word in words]
    joined: list[str] = []
    at = 0
    while at < len(words):
        pair = " ".join(words[at : at + 2])
        tag = _joined(session, pair) if at + 1 < len(words) else ""
        joined.append(tag or words[at])
        at += 2 if tag else 1
    return joined


def _joined(session: Session, pair: str) -> str:
    letters, _blank, number = pair.partition(" ")
    if _SHORT.fullmatch(letters) and number.isdecimal():
        try:
            return tag_meant(session, pair)
        except UnsureName:
            raise
        except UnknownName:
            return ""
    return ""


def _parts(tag: str) -> tuple[str, ...]:
    """A tag's letters and numbers, without signs between and zeros in front."""
    return tuple(part.lstrip("0") or "0" for part in _PARTS.findall(tag))


def _alike(wanted: str, tag: str) -> bool:
    """Whether a tag is what was typed but for signs and zeros, or has the one number typed."""
    if not _TYPED.fullmatch(wanted):
        return False
    typed, parts = _parts(wanted), _parts(tag)
    return typed == (parts if len(typed) > 1 else tuple(filter(str.isdecimal, parts)))


def _like(session: Session, wanted: str) -> list[str]:
    """Tags in which the parts of what was typed follow each other."""
    parts = _parts(wanted) if _TYPED.fullmatch(wanted) else ()
    if not parts:
        return []
    begins = parts[0] if parts[0].isalpha() else ""
    return [
        str(row[0])
        for row in session.rows(
            "SELECT tag FROM piece WHERE tag >= ? AND tag < ? AND tag LIKE ? ORDER BY tag",
            (begins, f"{begins}\uffff", f"%{'%'.join(parts)}"),
        )
    ]


def tags_near(session: Session, wanted: str) -> list[str]:
    """Tags that look like the one wanted, among those that begin alike."""
    tags = [
        row[0]
        for row in session.rows(
            "SELECT tag FROM piece WHERE tag >= ? AND tag < ? LIMIT 2000",
            (wanted[:1], wanted[:1] + "\uffff"),
        )
    ]
    return get_close_matches(wanted, tags, n=4, cutoff=0.6)


def _near(session: Session, wanted: str) -> Said:
    near = tags_near(session, wanted)
    return f"did you mean {', '.join(near)}?" if near else saying(act("stock"), " lists the tags")
