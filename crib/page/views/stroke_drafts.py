"""Strokes that were typed and are kept in the crib for later, from this page or at the shell."""

from __future__ import annotations

from typing import Any

from crib.desk.strokes.drafts import StrokeDraft, count_draft, drafts_kept, drop, keep
from crib.desk.strokes.log import LogOptions
from crib.desk.strokes.log_book import StrokeLine
from crib.desk.strokes.shift import line_text
from crib.errors import Refused
from crib.page.frame.reply import Done, View
from crib.page.frame.request import PageRequest
from crib.page.views.stroke_form import what_was_counted
from crib.stock.book.settings import shop_rules

_MOST_DRAFTS = 2
_MOST_LINES = 8


def kept_for_later(asked: PageRequest, lines: list[StrokeLine]) -> Done:
    """Keep what the cards say, for the day they were pressed."""
    day = asked["on"] or asked.pressed_on.isoformat()
    draft = StrokeDraft(on=day, job=asked["job"], machine=asked["machine"], lines=tuple(lines))
    keep(asked.session, draft, asked.by, asked.now)
    return Done("/strokes", "drafts.kept", {"n": len(lines)})


def drafts_of(asked: PageRequest) -> list[dict[str, Any]]:
    """The newest drafts of who asks, as they are shown."""
    if not asked.by:
        return []
    unit = shop_rules(asked.session).system
    # What was begun and never said to its end is gone on with where it was typed.
    whole = [one for one in drafts_kept(asked.session, asked.by) if one.lines and not one.begun]
    return [
        {
            "id": draft.id,
            "on": draft.on or draft.changed_at[:10],
            "lines": [line_text(line, unit) for line in draft.lines[:_MOST_LINES]],
            "more": max(0, len(draft.lines) - _MOST_LINES),
        }
        for draft in whole[:_MOST_DRAFTS]
    ]


def counted(asked: PageRequest) -> Done:
    """Count a draft, which is gone then."""
    options = LogOptions(by=asked.by, confirmed=asked.confirmed)
    result = count_draft(asked.session, _named(asked), options, asked.now)
    return Done(f"/written/{result.entries[0]}", *what_was_counted(asked, result))


def thrown_away(asked: PageRequest) -> Done:
    """Throw a draft away."""
    draft = _named(asked)
    drop(asked.session, draft)
    return Done("/strokes", "drafts.gone", {"n": len(draft.lines)})


def _named(asked: PageRequest) -> StrokeDraft:
    """The draft of an address, if it is still there and is of who asks.

    Raises:
        Refused: for another one.
    """
    for draft in drafts_kept(asked.session, asked.by):
        if str(draft.id) == asked["draft"]:
            return draft
    message = f"{asked.by} has no draft {asked['draft'][:20]!r}"
    raise Refused(message, way_out="it was counted or thrown away, or another person typed it")


VIEWS = (
    View("/strokes/draft/{draft}/count", counted, "POST", writes=True, needs_person=True),
    View("/strokes/draft/{draft}/drop", thrown_away, "POST", writes=True, needs_person=True),
)
