"""A shift's strokes while they are being typed: kept in the crib at every answer, counted once."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from typing import Any

from crib.acts import act, saying
from crib.desk.common.acting import stamp_for
from crib.desk.strokes.log import LogOptions, LogResult, log_lines
from crib.desk.strokes.log_book import StrokeLine
from crib.desk.strokes.weigh import Work
from crib.errors import Refused
from crib.stock.book.people import person_id
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.writers import drafts
from crib.trade.life.wear import Manner
from crib.trade.shop.shop_rules import Rules

_FACTS = ("on", "job", "about", "machine", "seen", "begun")


@dataclass(frozen=True, slots=True)
class StrokeDraft:
    """Lines that were typed for a shift; ``seen`` are the questions that are answered, skips too.

    ``begun`` is what was typed at the next question, of which the plate is still to be said.
    ``id`` is None until something of it is kept; ``changed_at`` is when it was kept last.
    """

    on: str = ""
    job: str = ""
    about: bool = False
    machine: str = ""
    lines: tuple[StrokeLine, ...] = ()
    seen: tuple[str, ...] = ()
    begun: str = ""
    id: int | None = None
    changed_at: str = ""


def drafts_kept(session: Session, by: str) -> list[StrokeDraft]:
    """What somebody typed and has not counted, the newest first."""
    rules = shop_rules(session)
    return [
        replace(_read(kept.content, rules), id=kept.id, changed_at=kept.changed_at)
        for kept in drafts.drafts_of(session, person_id(session, by))
    ]


def keep(session: Session, draft: StrokeDraft, by: str, now: datetime | None = None) -> StrokeDraft:
    """Keep a draft as it is by now; one in which nothing was typed is not kept."""
    if not (draft.lines or draft.begun) and draft.id is None:
        return draft
    stamp = stamp_for(session, by, now=now)
    number = drafts.keep_draft(session, stamp, draft.id, _text(draft))
    return replace(draft, id=number, changed_at=stamp.made_at)


def drop(session: Session, draft: StrokeDraft) -> None:
    """Throw a draft away."""
    if draft.id is not None:
        drafts.drop_draft(session, draft.id)


def count_draft(
    session: Session, draft: StrokeDraft, options: LogOptions, now: datetime | None = None
) -> LogResult:
    """Count the lines of a draft and take it away, both or neither.

    Raises:
        Refused: for one that was counted or thrown away meanwhile.
        AskBack: what counting its lines asks back.
    """
    options = replace(options, on=draft.on, job=draft.job, about=draft.about)
    with session.writing():
        if draft.id is not None and not drafts.drop_draft(session, draft.id):
            message = "this draft was counted or thrown away meanwhile, at another place"
            raise Refused(message, way_out=saying(act("history"), " shows what was counted"))
        return log_lines(session, draft.lines, options, now)


def _text(draft: StrokeDraft) -> str:
    facts = {
        name: getattr(draft, name) for name in ("on", "job", "about", "machine", "seen", "begun")
    }
    return json.dumps(facts | {"lines": [_line_facts(line) for line in draft.lines]})


def _line_facts(line: StrokeLine) -> dict[str, Any]:
    work = line.work
    facts = {field: getattr(line, field) for field in StrokeLine.__dataclass_fields__}
    facts["work"] = {
        "thickness_mm": work.thickness_mm,
        "material": work.material.name if work.material else "",
        "manner": asdict(work.manner),
    }
    return facts


def _read(content: str, rules: Rules) -> StrokeDraft:
    facts = json.loads(content)
    lines = tuple(_line(one, rules) for one in facts.pop("lines"))
    return StrokeDraft(**{**facts, "seen": tuple(facts["seen"]), "lines": lines})


def _line(facts: dict[str, Any], rules: Rules) -> StrokeLine:
    work, beside = facts["work"], facts["beside"]
    material = rules.material(work["material"]) if work["material"] else None
    made = Work(work["thickness_mm"], material, Manner(**work["manner"]))
    return StrokeLine(
        **{**facts, "work": made, "beside": None if beside is None else tuple(beside)}
    )


def without(draft: StrokeDraft, at: int, instead: Sequence[StrokeLine]) -> StrokeDraft:
    """A draft with other lines, or none, in the place of one."""
    return replace(draft, lines=(*draft.lines[:at], *instead, *draft.lines[at + 1 :]))
