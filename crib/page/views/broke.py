"""Broke or lost: which tool, what happened, and how the work goes on."""

from __future__ import annotations

from urllib.parse import quote

from crib.desk.book.show import show_piece
from crib.desk.edges.break_words import WORDS
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.kit.hands import at_machines, in_hands
from crib.page.frame.amiss import about
from crib.page.frame.answering import told_result
from crib.page.frame.reply import Done, FormField, GoTo, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.page.views.piece import near
from crib.stock.queries.pieces import piece_by_tag


def which(asked: PageRequest) -> Reply:
    """Scan it, or touch it: what one has in hand, and what stands at the machines."""
    if asked["code"]:
        with about("code"):
            tag = piece_by_tag(asked.session, asked["code"]).tag
        return GoTo(f"/broke/{quote(tag, safe='')}")
    return choices(asked)


def choices(asked: PageRequest) -> Shown:
    """What may be touched instead of scanned."""
    hands = in_hands(asked.session, asked.by).pieces if asked.by else ()
    near = {"hands": hands, "machines": at_machines(asked.session)}
    return Shown("broke", near, near)


def what(asked: PageRequest) -> Reply:
    """What happened, in pictures."""
    found = show_piece(asked.session, asked["tag"])
    return Shown("broke_what", {"piece": found.piece, "happened": WORDS}, found)


def broke(asked: PageRequest) -> Reply:
    """It is locked at once, and what stood with it until somebody has looked."""
    plate = ["thru", *asked["plate"].split()] if asked["plate"] else []
    request = BreakRequest(
        asked["tag"],
        [asked["happened"], *plate],
        asked.by,
        asked.pressed_on.isoformat(),
        asked["note"],
        asked.confirmed,
    )
    with about("plate" if plate else "happened"):
        done = report_break(asked.session, request, asked.now)
    to = f"/broke/{quote(done.tag, safe='')}/next"
    return Done(to, "broke.told", {"tag": done.tag, "kind": done.kind}, done)


def after(asked: PageRequest) -> Reply:
    """What to do with the hands, and what to take instead."""
    done = told_result(asked)
    if done is None or "happened" not in done:
        return GoTo(f"/piece/{quote(asked['tag'], safe='')}")
    return Shown("broke_next", {"broke": done}, done)


_TAG = FormField("tag", needed=True)
_SAID = (_TAG, FormField("happened", needed=True), FormField("plate"), FormField("note"))
# What stands behind a tag goes first: a tag may hold a slash.
VIEWS = (
    View("/broke", which, takes=(FormField("code"),), form=choices),
    View("/broke/{tag:path}/next", after, takes=(_TAG,)),
    View("/broke/{tag:path}", what, takes=(_TAG,), needs_person=True, form=near),
    View("/broke/{tag:path}", broke, "POST", _SAID, writes=True, needs_person=True, form=what),
)
