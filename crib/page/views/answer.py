"""Which tool? The answer: drawer, pair and station; or what to order and to do meanwhile."""

from __future__ import annotations

from typing import Any

from crib.desk.answer.draw_answer import screen_drawing
from crib.desk.answer.find import Found
from crib.desk.answer.rank import Candidate
from crib.errors import UnknownName
from crib.features.common.findings import cautions, refusals
from crib.page.frame.reply import Drawing, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.page.frame.speaking import Speaking
from crib.page.views.asked_work import ASKS, PICK, address_of, found_for, pick_of
from crib.page.views.tool import phrase_again

MOST_OTHERS = 5


def answer(asked: PageRequest) -> Reply:
    """What the crib has for a phrase; nothing is remembered of it until somebody orders."""
    found = found_for(asked)
    pick = pick_of(asked, found)
    speak = Speaking(asked.texts, found.answers.case.say)
    values: dict[str, Any] = {
        "found": found,
        "pick": pick,
        "speak": speak,
        "why": address_of(asked, "/tool/why"),
        "drawing": address_of(asked, "/tool/drawing"),
    }
    if pick is None or not found.serves:
        return Shown(
            "no_tool", values | {"refused": refusals(pick.findings) if pick else []}, found
        )
    values |= {"others": _others(asked, found, pick), "minded": cautions(pick.findings)}
    values |= {"there": _stands_there(pick), "reasons": list(speak.reasons(found, pick))}
    return Shown("answer", values, found)


def why(asked: PageRequest) -> Reply:
    """Every check of the pick that is looked at, with its figure, its limit and its source."""
    found = found_for(asked)
    pick = _pick(asked, found)
    speak = Speaking(asked.texts, found.answers.case.say)
    values = {"found": found, "pick": pick, "speak": speak}
    return Shown("why", values | {"back": address_of(asked, "/tool/answer")}, found)


def drawing(asked: PageRequest) -> Reply:
    """The pick that is looked at, drawn to scale as on paper."""
    found = found_for(asked)
    return Drawing(screen_drawing(found, _pick(asked, found)))


def _pick(asked: PageRequest, found: Found) -> Candidate:
    pick = pick_of(asked, found)
    if pick is None:
        message = "nothing comes near: there is nothing to show"
        raise UnknownName(message)
    return pick


def _others(asked: PageRequest, found: Found, shown: Candidate) -> list[tuple[str, Candidate]]:
    """The other picks with their addresses, the best first."""
    every = [(number, one) for number, one in enumerate(found.picks, 1) if one is not shown]
    place = address_of(asked, "/tool/answer", pick="")
    return [(f"{place}{number}", one) for number, one in every[:MOST_OTHERS]]


def _stands_there(pick: Candidate) -> bool:
    """Whether all of it stands mounted at its station already."""
    return all(tool.station_id == pick.tooling.station.id for tool in pick.tools)


_TAKES = (*ASKS, PICK)
VIEWS = (
    View("/tool/answer", answer, takes=_TAKES, form=phrase_again),
    View("/tool/why", why, takes=_TAKES, form=phrase_again),
    View("/tool/drawing", drawing, takes=_TAKES),
)
