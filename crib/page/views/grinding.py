"""Needs grinding: what is due, and the lengths after the grind, many in one act."""

from __future__ import annotations

from dataclasses import replace

from crib.acts import joined, saying
from crib.desk.common.blade_pairs import opposite
from crib.desk.common.reminder_levels import Reminder, reminder
from crib.desk.edges.due import DueRequest, list_due
from crib.desk.edges.grind import CAUTIONS, GrindRequest
from crib.desk.shelf.grind_list import HOME, GrindLine, GroundList, record_list
from crib.page.frame.amiss import about
from crib.page.frame.drawn import worded_in
from crib.page.frame.reply import Done, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.stock.book.settings import shop_rules
from crib.stock.queries.pieces import piece_by_tag
from crib.units import format_length

AT_ONCE = 12
LENGTH, OFF = "length:", "off:"


def due(asked: PageRequest) -> Reply:
    """What is due, the greatest risk first, a dozen at a time, each with a field for its length."""
    first = int(asked["first"]) if asked["first"].isdecimal() else 0
    request = DueRequest(machine=asked["machine"], first=first, most=AT_ONCE)
    found = list_due(asked.session, request)
    values = _values(asked, found.lines)
    return Shown("grinding", {**values, "found": found, "first": first, "next": AT_ONCE}, found)


def one(asked: PageRequest) -> Reply:
    """One tool, with the blades opposite: due or not, it was ground."""
    card, rules = piece_by_tag(asked.session, asked["tag"]), shop_rules(asked.session)
    lines = [reminder(each, rules) for each in (card, *opposite(asked.session, card))]
    return Shown("grind", {**_values(asked, lines), "piece": card}, lines[0])


def _values(asked: PageRequest, lines: tuple[Reminder, ...] | list[Reminder]) -> dict[str, object]:
    unit = shop_rules(asked.session).system

    def length(length_mm: float | None) -> str:
        return "?" if length_mm is None else format_length(length_mm, unit, digits=3)

    return {"lines": lines, "length": length, "unit": unit, "cautions": CAUTIONS}


def ground(asked: PageRequest) -> Reply:
    """Every length that was typed, in one act or none of them."""
    fields, lines = _typed(asked)
    with about(*fields):
        done = record_list(asked.session, "what was typed", lines, _usual(asked), asked.now)
    return Done("/grinding", "grind.told", _told(asked, done), done)


def _usual(asked: PageRequest) -> GrindRequest:
    on = asked.pressed_on.isoformat()
    note, found = asked["note"], asked["found"]
    return GrindRequest("", by=asked.by, on=on, note=note, confirmed=asked.confirmed, found=found)


def _typed(asked: PageRequest) -> tuple[list[str], list[GrindLine]]:
    """The lines that something was typed into, each with its field; the first where nothing was."""
    named = (name.partition(":")[2] for name in asked.fields if name.startswith((LENGTH, OFF)))
    tags = list(dict.fromkeys(named))
    typed = [tag for tag in tags if asked[LENGTH + tag] or asked[OFF + tag]] or tags[:1]
    usual, to = _usual(asked), HOME if asked["home"] else ""
    lines = []
    for tag in typed:
        length, off = asked[LENGTH + tag], asked[OFF + tag]
        request = replace(usual, tag=tag, length=length, off=off)
        lines.append(GrindLine(0, request, to, LENGTH + tag))
    return [LENGTH + tag for tag in typed], lines


def _told(asked: PageRequest, done: GroundList) -> dict[str, object]:
    """How many were ground, and what is to be known of each now."""
    pieces = done.ground.pieces
    notes = [saying(one.tag, ": ", note) for one in pieces for note in one.notes]
    words = worded_in(joined("; ", [*notes, *done.ground.opposite]), asked.texts)
    return {"n": len(pieces), "tags": ", ".join(one.tag for one in pieces), "notes": words}


def again(asked: PageRequest) -> Reply:
    """The page from which the lengths were sent."""
    return one(asked) if asked["tag"] else due(asked)


_TYPED = tuple(FormField(name) for name in ("tag", "found", "note", "home", "first", "machine"))
VIEWS = (
    View("/grinding", due, takes=(FormField("machine"), FormField("first", "whole"))),
    View("/grinding", ground, "POST", _TYPED, writes=True, needs_person=True, form=again),
    View("/grinding/{tag:path}", one, takes=(FormField("tag", needed=True),), needs_person=True),
)
