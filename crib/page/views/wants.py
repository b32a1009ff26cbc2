"""What was missed and is still wanted: kept, or struck out with its reason."""

from __future__ import annotations

from crib.desk.buying.want_list import list_wants, strike_out
from crib.page.frame.amiss import about
from crib.page.frame.reply import Done, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.units import read_count

MOST_WANTS = 20
WHY = ("mistyped", "not-needed", "done-otherwise")
"""Why a want is struck out, as a key."""


def wants(asked: PageRequest) -> Reply:
    """What was missed and is still wanted."""
    found = list_wants(asked.session)
    shown = found.lines if asked["all"] else found.lines[:MOST_WANTS]
    hidden = len(found.lines) - len(shown)
    return Shown("wants", {"wants": shown, "hidden": hidden, "whys": WHY}, found)


def strike(asked: PageRequest) -> Reply:
    """Strike the ticked wants out; the others are kept."""
    with about("want"):
        numbers = [read_count(one) for one in asked.every.get("want", ())]
    why = asked["why_else"] or _why(asked)
    with about("why_else" if numbers else "want"):
        done = strike_out(asked.session, numbers, why, by=asked.by, now=asked.now)
    return Done("/friday/wants", "friday.told.struck", {"n": len(numbers)}, done)


def _why(asked: PageRequest) -> str:
    return asked.texts(f"why.{asked['why']}") if asked["why"] in WHY else ""


_STRIKE = (FormField("want", needed=True, many=True), FormField("why"), FormField("why_else"))
VIEWS = (
    View("/friday/wants", wants, takes=(FormField("all", "flag"),)),
    View("/friday/strike", strike, "POST", _STRIKE, writes=True, needs_person=True, form=wants),
)
