"""Strokes of a shift: a card for each planned run and mounted set, sent as one act."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from crib.desk.strokes.cards import (
    StrokeCard,
    card_faults,
    cards_of,
    machines_of,
    shift_lines,
    stroke_cards,
)
from crib.desk.strokes.log import LogOptions, log_lines
from crib.page.frame.reply import Done, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.page.views.stroke_drafts import drafts_of, kept_for_later
from crib.page.views.stroke_form import (
    filled_in,
    placed,
    sent_cards,
    shift_said,
    what_was_counted,
)

MOST_CARDS = 6
NOTHING: Mapping[Any, str] = MappingProxyType({})
_BY_HAND = ("new-tag", "new-count", "new-plate")


def cards(asked: PageRequest) -> Reply:
    """The cards of a machine, or the machines where there are many; of one piece by its tag."""
    if asked["tag"]:
        return _drawn(asked, cards_of(asked.session, asked["tag"]))
    every = stroke_cards(asked.session, asked["machine"])
    machines = machines_of(asked.session)
    if len(every) > MOST_CARDS and not asked["machine"] and len(machines) > 1:
        values = {"machines": machines, "drafts": drafts_of(asked)}
        return Shown("strokes_where", values, {"cards": every})
    return _drawn(asked, every)


def counted(asked: PageRequest) -> Done:
    """Count what the cards say, in one act; or keep it for later."""
    lines = shift_lines(asked.session, shift_said(asked))
    if asked["later"]:
        return kept_for_later(asked, lines)
    pressed = asked.pressed_on
    day = asked["on"] or ("" if pressed == asked.now.date() else pressed.isoformat())
    options = LogOptions(by=asked.by, on=day, job=asked["job"], confirmed=asked.confirmed)
    result = log_lines(asked.session, lines, options, asked.now)
    return Done(f"/written/{result.entries[0]}", *what_was_counted(asked, result))


def more(asked: PageRequest) -> Reply:
    """The cards as they were filled in, with one more for the tool that was added by hand."""
    added = cards_of(asked.session, asked["new-tag"]) if asked["new-tag"] else []
    filled = {f"count-{one.id}": asked["new-count"] for one in added if asked["new-count"]}
    plates = {f"plate-{one.id}": asked["new-plate"] for one in added if asked["new-plate"]}
    return _drawn(asked, added, {**filled, **plates, **dict.fromkeys(_BY_HAND, "")})


def as_sent(asked: PageRequest) -> Reply:
    """The cards as they were filled in, with what is wrong on each."""
    return _drawn(asked, [], faults=card_faults(asked.session, shift_said(asked).cards))


def _drawn(
    asked: PageRequest,
    own: list[StrokeCard],
    filled: Mapping[str, str] = NOTHING,
    faults: Mapping[int, str] = NOTHING,
) -> Shown:
    """The cards that were sent as they were filled in, and new ones behind them."""
    start = int(asked["from"]) if asked["from"].isdecimal() else 0
    fields = {**asked.fields, **filled}
    sent = sent_cards(asked)
    there = {one["id"] for one in sent}
    new = [placed(one) for one in own[start : start + MOST_CARDS] if one.id not in there]
    drawn = [
        *(filled_in(one, fields, False, faults.get(at, "")) for at, one in enumerate(sent)),
        *(filled_in(one, fields, True) for one in new),
    ]
    rest = len(own) > start + MOST_CARDS
    plain = {name: fields.get(name, "") for name in (*_BY_HAND, "on", "job", "machine")}
    values = {"cards": drawn, "fields": plain, "drafts": drafts_of(asked)}
    return Shown("strokes", {**values, "then": start + MOST_CARDS if rest else 0}, {"cards": own})


ON_CARDS = (
    FormField("card", many=True),
    FormField("line", many=True),
    *(FormField(name) for name in ("on", "job", "machine", *_BY_HAND)),
    FormField("later", "flag"),
)
VIEWS = (
    View("/strokes", cards, takes=(FormField("machine"), FormField("from")), needs_person=True),
    View("/strokes/{tag}", cards, needs_person=True),
    View(
        *("/strokes", counted, "POST", ON_CARDS),
        writes=True,
        needs_person=True,
        form=as_sent,
    ),
    View("/strokes/more", more, "POST", ON_CARDS, needs_person=True, form=as_sent),
)
