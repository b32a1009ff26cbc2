"""Taking an answer's pieces, and ordering what nothing in the crib does."""

from __future__ import annotations

from crib.desk.answer.find import find
from crib.desk.kit.hand_out import HandOut, lend
from crib.desk.shelf.move import Move, move_pieces
from crib.page.frame.reply import Done, FormField, Reply, View
from crib.page.frame.request import PageRequest
from crib.page.views.asked_work import ASKS, address_of, asked_work


def take(asked: PageRequest) -> Reply:
    """Take the pieces in hand, to be brought back."""
    tags = asked.every.get("tag", ())
    done = lend(asked.session, tags, HandOut(asked.by), by=asked.by)
    slots = {"tags": " + ".join(tags), "who": asked.by}
    return Done(address_of(asked, "/tool/answer"), "answer.told.taken", slots, done)


def mount(asked: PageRequest) -> Reply:
    """Put the pieces in their station; what stands there in their way is asked about first."""
    tags = asked.every.get("tag", ())
    move = Move(tags, asked["station"], confirmed=asked.confirmed)
    done = move_pieces(asked.session, move, by=asked.by)
    slots = {"tags": " + ".join(tags), "station": asked["station"]}
    return Done(address_of(asked, "/tool/answer"), "answer.told.mounted", slots, done)


def order(asked: PageRequest) -> Reply:
    """Remember a question that nothing serves, for buying."""
    found = find(asked.session, asked["phrase"], asked_work(asked), by=asked.by)
    told = "answer.told.serves" if found.serves else "answer.told.wanted"
    return Done(address_of(asked, "/tool/answer"), told, {"phrase": found.phrase}, found)


_TAGS = FormField("tag", needed=True, many=True)
_STATION = FormField("station", needed=True)
VIEWS = (
    View("/tool/take", take, "POST", (*ASKS, _TAGS), writes=True, needs_person=True),
    View("/tool/mount", mount, "POST", (*ASKS, _TAGS, _STATION), writes=True, needs_person=True),
    View("/tool/order", order, "POST", ASKS, writes=True, needs_person=True),
)
