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
    also = asked["also"].split()
    with about("also"):
        found = count_place(asked.session, asked["drawer"], [*asked.every.get("there", ()), *also])
    return _counted(found, "count_check" if asked["check"] else "count_drawer")


def ticked(asked: PageRequest) -> Shown:
    """The ticks alone, where what was scanned cannot be read."""
    there = asked.every.get("there", ())
    return _counted(count_place(asked.session, asked["drawer"], there), "count_drawer")


def _counted(found: Count, template: str) -> Shown:
    beside = [*found.strays, *found.found_again, *found.retired]
    tags = [one.tag for one in (*found.here, *beside)]
    values = {"count": found, "place": _place_of(found), "tags": tags, "beside": beside}
    return Shown(template, {**values, "sent": [*tags, *found.unknown]}, found)


def settle(asked: PageRequest) -> Reply:
    """The record is put right, in one act."""
    there = asked.every.get("there", ())
    name, why = asked["drawer"], asked["why"]
    done = settle_count(asked.session, name, there, why, by=asked.by, now=asked.now)
    slots = {"place": done.place, "n": done.differences}
    return Done(f"/drawer/{quote(done.place, safe='')}", "count.told", slots, done)


def check_again(asked: PageRequest) -> Shown:
    """The differences again, with what stands in the way of settling them."""
    there = asked.every.get("there", ())
    return _counted(count_place(asked.session, asked["drawer"], there), "count_check")


def _place_of(found: Count) -> str:
    return f"/count/{quote(found.place, safe='')}"


_DRAWER = FormField("drawer", needed=True)
_THERE = FormField("there", many=True)
_COUNTED = (_DRAWER, _THERE, FormField("also"), FormField("check", "flag"))
_SETTLED = (_DRAWER, _THERE, FormField("why", needed=True))
# What stands behind a drawer's name goes first: a name may hold a slash.
VIEWS = (
    View("/drawer/{drawer:path}", drawer, takes=(_DRAWER,)),
    View("/count", which, takes=(FormField("code"), FormField("first", "whole")), form=drawers),
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
