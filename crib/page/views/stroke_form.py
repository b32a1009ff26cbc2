"""What a stroke card carries with its form, and how the cards that were sent are read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from urllib.parse import parse_qs, urlencode

from crib.desk.strokes.cards import SaidCard, SaidShift, StrokeCard
from crib.desk.strokes.log import LogResult
from crib.desk.strokes.log_book import KnownLine
from crib.errors import BadValue
from crib.page.frame.drawn import worded_in
from crib.page.frame.request import PageRequest

_BY_TENS_FROM = 100
_LISTS = ("beside", "tools", "dies")
_TEXTS = ("id", "tag", "die", "job", "mm", "material", "plate", "count", "where", "what")
_FIELDS = ("count", "plate", "none", "about", "tool", "die")
_FACTS = (*_TEXTS, "planned", "none", *_LISTS)


def placed(card: StrokeCard) -> dict[str, Any]:
    """A card as it is drawn, with the text that it carries: what it means, whenever it is sent."""
    line = card.line
    facts: dict[str, Any] = {"id": card.id, "tag": line.tag, "die": line.die_tag, "job": line.job}
    facts |= {"mm": line.thickness_mm or "", "material": line.material, "plate": card.plate}
    facts |= {"beside": ",".join(line.beside), "count": card.count, "where": line.station}
    facts |= {"what": f"{line.mark}: {line.phrase}" if line.mark else line.phrase}
    facts |= {"planned": line.strokes or "", "none": "" if card.runs_now else "1"}
    facts |= {"tools": ",".join(card.tools[1:]), "dies": ",".join(card.dies[1:])}
    return _facts(urlencode({name: value for name, value in facts.items() if value != ""}))


def sent_cards(asked: PageRequest) -> list[dict[str, Any]]:
    """The cards that came with a form, as they were drawn."""
    return [_facts(text) for text in asked.every.get("card", ())]


def filled_in(
    facts: dict[str, Any], fields: Mapping[str, str], is_new: bool, fault: str = ""
) -> dict[str, Any]:
    """A card with what stands in its fields: as it begins, or as it was sent."""
    name = facts["id"]
    said = {what: fields.get(f"{what}-{name}", "") for what in _FIELDS}
    if is_new:
        said |= {"none": "" if said["count"] else facts["none"]}
        said |= {what: said[what] or facts[what] for what in ("count", "plate")}
    return {**facts, "said": said, "fault": fault}


def shift_said(asked: PageRequest) -> SaidShift:
    """What was filled in on the cards, and in words: lines of a program, a tool added by hand."""
    lines = [word for line in asked.every.get("line", ()) for word in line.split()]
    words = [*lines, *asked["new-tag"].split(), *asked["new-count"].split()]
    plate = asked["new-plate"].split()
    words += ["thru", *plate] if plate and asked["new-tag"] else []
    return SaidShift([_said(asked, facts) for facts in sent_cards(asked)], words)


def what_was_counted(
    asked: PageRequest, result: LogResult
) -> tuple[str, dict[str, str], LogResult]:
    """What is told of an act of counting: how much, what became due, what is to be seen to."""
    mine = [line for line in result.lines if not line.under and not line.beside]
    due = ", ".join(f"{one.tag} ({100 * one.used:.0f} %)" for one in result.became_due)
    notes = ". ".join(worded_in(note, asked.texts) for note in result.notes)
    slots = {
        "lines": asked.texts("strokes.lines", n=len(mine)),
        "strokes": f"{sum(line.count for line in mine):,}",
        "day": result.shift_on,
        "due": f" {asked.texts('strokes.due', tags=due)}" if due else "",
        "notes": f" {notes}." if notes else "",
    }
    return "strokes.told", slots, result


def _facts(text: str) -> dict[str, Any]:
    said = {name: values[-1] for name, values in parse_qs(text).items()}
    every = dict.fromkeys(_FACTS, "") | said
    by = 10 if every["count"].isdecimal() and int(every["count"]) >= _BY_TENS_FROM else 1
    lists = {name: [one for one in every[name].split(",") if one] for name in _LISTS}
    return {**every, **lists, "carried": text, "by": by}


def _said(asked: PageRequest, facts: dict[str, Any]) -> SaidCard:
    name = facts["id"]
    known = KnownLine(
        tag=facts["tag"],
        die_tag=facts["die"],
        thickness_mm=_mm(facts["mm"]),
        material=facts["material"],
        job=facts["job"],
        beside=tuple(facts["beside"]) or None,
    )
    return SaidCard(
        known,
        count=asked[f"count-{name}"],
        none=bool(asked[f"none-{name}"]),
        about=bool(asked[f"about-{name}"]),
        plate=None if facts["planned"] else asked[f"plate-{name}"],
        tool=asked[f"tool-{name}"],
        die=asked[f"die-{name}"],
        drawn=(facts["count"], facts["plate"]),
    )


def _mm(text: str) -> float | None:
    try:
        return float(text) if text else None
    except ValueError:
        message = f"a card's plate of {text[:20]!r} mm cannot be read"
        raise BadValue(message, way_out="open the page of strokes anew") from None
