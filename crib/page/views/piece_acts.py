"""What is done with one tool and needs a word more: turned, measured, looked at."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from crib.desk.book.show import show_piece
from crib.desk.common.blade_pairs import opposite
from crib.desk.edges.look import LookRequest, record_look
from crib.desk.edges.turn import CAUTIONS, TurnRequest, turn_edge, turn_edges
from crib.desk.shelf.measure import measure_piece, read_measured_sizes
from crib.page.frame.amiss import about
from crib.page.frame.reply import Done, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.page.views import piece

TURN = (piece.TAG, FormField("with", many=True), FormField("found"), FormField("note"))
MEASURE = (piece.TAG, *(FormField(name) for name in ("size", "long", "length", "why")))
LOOK = (piece.TAG, FormField("seen", needed=True), FormField("why"))


def _form(template: str, asked: PageRequest, **values: Any) -> Shown:
    found = show_piece(asked.session, asked["tag"])
    return Shown(template, {"report": found, "piece": found.piece, **values}, found)


def turn_form(asked: PageRequest) -> Reply:
    """How the edge was found, and the blades that turn with it."""
    shown = _form("piece_turn", asked, cautions=CAUTIONS)
    others = opposite(asked.session, shown.values["piece"])
    return Shown(shown.template, {**shown.values, "others": others}, shown.result)


def turn(asked: PageRequest) -> Reply:
    """The next edge is in use, of the blades opposite too where they were ticked."""
    on = asked.pressed_on.isoformat()
    request = TurnRequest(asked["tag"], 0, asked.by, on, asked["note"], asked["found"])
    others = asked.every.get("with", ())
    with about("found"):
        if others:
            done = turn_edges(asked.session, [asked["tag"], *others], request, asked.now).pieces
        else:
            done = (turn_edge(asked.session, request, asked.now),)
    first = done[0]
    return _told(first.tag, "turn.told", {"edge": first.edge, "left": first.edges_left}, done)


def measure_form(asked: PageRequest) -> Reply:
    """Size and length as measured."""
    return _form("piece_measure", asked)


def measure(asked: PageRequest) -> Reply:
    """What was measured counts from now on."""
    with about("size" if asked["size"] else "length"):
        sizes = read_measured_sizes(asked.session, asked["size"], asked["long"], asked["length"])
        done = measure_piece(
            asked.session,
            asked["tag"],
            sizes,
            asked["why"],
            confirmed=asked.confirmed,
            by=asked.by,
            now=asked.now,
        )
    return _told(done.tag, "measure.told", {}, done)


def look_form(asked: PageRequest) -> Reply:
    """What somebody saw."""
    return _form("piece_look", asked)


def look(asked: PageRequest) -> Reply:
    """Sharp, put off, or inspected and sound."""
    seen, on = asked["seen"], asked.pressed_on.isoformat()
    said = {name: name == seen for name in ("sharp", "defer", "inspected")}
    request = LookRequest(asked["tag"], why=asked["why"], by=asked.by, on=on, **said)
    with about("seen"):
        done = record_look(asked.session, request, asked.now)
    return _told(done.tag, "look.told", {}, done)


def _told(tag: str, told: str, slots: dict[str, object], result: object) -> Done:
    return Done(f"/piece/{quote(tag, safe='')}", told, {"tag": tag, **slots}, result)


def _views(name: str, form: Any, act: Any, takes: tuple[FormField, ...]) -> tuple[View, ...]:
    path = f"/piece/{{tag:path}}/{name}"
    done = View(path, act, "POST", takes, writes=True, needs_person=True, form=form)
    return View(path, form, takes=takes[:1], needs_person=True), done


VIEWS = (
    *_views("turn", turn_form, turn, TURN),
    *_views("measure", measure_form, measure, MEASURE),
    *_views("look", look_form, look, LOOK),
)
