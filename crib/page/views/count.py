"""A drawer: what lies in it; counted by touch and scan, the differences shown and settled."""

from __future__ import annotations

from urllib.parse import quote

from crib.desk.shelf.count import (
    Count,
    count_place,
    drawer_names,
    expected_list,
    settle_count,
)
from crib.page.frame.amiss import about
from crib.page.frame.reply import Done, FormField, GoTo, Reply, Shown, View
from crib.page.frame.request import PageRequest

MOST_TILES = 60
MOST_LINES = 50
"""The most pieces on one page: a full drawer has several, and all of them are one count."""


def drawer(asked: PageRequest) -> Reply:
    """What should lie in a drawer, or stand at a station."""
    found = expected_list(asked.session, asked["drawer"])
    return Shown("drawer", {"count": found, "place": _place_of(found)}, found)


def which(asked: PageRequest) -> Reply:
    """Which drawer? Scanned, or touched in the order of the walk."""
    if asked["code"]:
        with about("code"):
            found = expected_list(asked.session, asked["code"])
        return GoTo(_place_of(found))
    return drawers(asked)


def drawers(asked: PageRequest) -> Shown:
    """The drawers to choose from."""
    names = drawer_names(asked.session)
    first = int(asked["first"]) if asked["first"].isdecimal() else 0
    some = names[first : first + MOST_TILES]
    values = {"drawers": [(name, quote(name, safe="")) for name in some]}
    more = len(names) - first - len(some)
    return Shown("count", {**values, "more": more, "next": first + MOST_TILES}, {"drawers": names})


def count(asked: PageRequest) -> Reply:
    """Ticks and scans so far; what they come to, when that is asked."""
    with about("also"):
        there = [*_there(asked), *asked["also"].split()]
        found = count_place(asked.session, asked["drawer"], there)
    return _compared(found) if asked["check"] else _ticks(asked, found)


def ticked(asked: PageRequest) -> Shown:
    """The ticks alone, where what was scanned cannot be read."""
    return _ticks(asked, count_place(asked.session, asked["drawer"], _there(asked)))


def _there(asked: PageRequest) -> list[str]:
    """What was ticked, here and on the other pages of a full drawer."""
    return [*asked.every.get("there", ()), *asked["kept"].split()]


def _ticks(asked: PageRequest, found: Count) -> Shown:
    """A page of what should lie there, with what was ticked elsewhere kept."""
    first = int(asked["first"]) if asked["first"].isdecimal() else 0
    shown = found.expected[first : first + MOST_LINES]
    seen, here = {one.tag for one in shown}, [one.tag for one in found.here]
    values = {"count": found, "place": _place_of(found), "shown": shown, "first": first}
    values |= {"tags": here, "kept": [tag for tag in here if tag not in seen], "most": MOST_LINES}
    return Shown("count_drawer", values, found)


def _compared(found: Count) -> Shown:
    pieces = (*found.here, *found.strays, *found.found_again, *found.retired)
    sent = [*(one.tag for one in pieces), *found.unknown]
    values = {"count": found, "place": _place_of(found), "sent": sent, "most": MOST_LINES}
    return Shown("count_check", values, found)


def settle(asked: PageRequest) -> Reply:
    """The record is put right, in one act."""
    there = _there(asked)
    name, why = asked["drawer"], asked["why"]
    done = settle_count(asked.session, name, there, why, by=asked.by, now=asked.now)
    slots = {"place": done.place, "n": done.differences}
    return Done(f"/drawer/{quote(done.place, safe='')}", "count.told", slots, done)


def check_again(asked: PageRequest) -> Shown:
    """The differences again, with what stands in the way of settling them."""
    return _compared(count_place(asked.session, asked["drawer"], _there(asked)))


def _place_of(found: Count) -> str:
    return f"/count/{quote(found.place, safe='')}"


_DRAWER = FormField("drawer", needed=True)
_THERE = FormField("there", many=True)
_KEPT, _FIRST = FormField("kept"), FormField("first", "whole")
_COUNTED = (_DRAWER, _THERE, _KEPT, FormField("also"), FormField("check", "flag"), _FIRST)
_SETTLED = (_DRAWER, _THERE, _KEPT, FormField("why", needed=True))
# What stands behind a drawer's name goes first: a name may hold a slash.
VIEWS = (
    View("/drawer/{drawer:path}", drawer, takes=(_DRAWER,)),
    View("/count", which, takes=(FormField("code"), _FIRST), form=drawers),
    View(
        "/count/{drawer:path}/settle",
        settle,
        "POST",
        _SETTLED,
        writes=True,
        needs_person=True,
        form=check_again,
    ),
    View("/count/{drawer:path}", count, takes=_COUNTED, form=ticked),
)
