"""Between sites: what is on the way, what leaves, what has come."""

from __future__ import annotations

from crib.desk.common.ways import OnTheWay, on_the_way
from crib.desk.shelf.send import arrive_pieces, send_pieces
from crib.page.frame.amiss import about
from crib.page.frame.reply import Done, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest


def ways(asked: PageRequest) -> Reply:
    """What comes here with a button, what left, and a form for what leaves."""
    at = asked.session.at
    every = on_the_way(asked.session, asked.now)
    here = at.name if at else ""
    others = [(name, name) for name in at.names.values() if name != here] if at else []
    values = {"sites": others, "coming": [one for one in every if one.to_site == here]}
    return Shown("ways", values | {"left": _left(every, here)}, {"on_the_way": every})


def _left(every: tuple[OnTheWay, ...], here: str) -> list[OnTheWay]:
    return [one for one in every if one.to_site != here]


def send(asked: PageRequest) -> Reply:
    """Scanned tools leave."""
    with about("tags"):
        sent = send_pieces(
            asked.session, asked["tags"].split(), asked["to"], by=asked.by, now=asked.now
        )
    tags = ", ".join(one.tag for one in sent.pieces)
    return Done(
        "/ways", "ways.told.sent", {"tags": tags, "to": sent.to_site, "day": sent.due_on}, sent
    )


def arrive(asked: PageRequest) -> Reply:
    """What was sent is here."""
    tags = asked.every.get("tag", ())
    with about("drawer"):
        come = arrive_pieces(asked.session, tags, asked["drawer"], by=asked.by, now=asked.now)
    told = ", ".join(f"{one.tag} → {one.place}" for one in come.pieces)
    return Done("/ways", "ways.told.come", {"tags": told}, come)


_SENT = (FormField("tags", needed=True), FormField("to", needed=True))
_COME = (FormField("tag", needed=True, many=True), FormField("drawer"))
VIEWS = (
    View("/ways", ways, takes=(FormField("tags"),)),
    View("/ways/send", send, "POST", _SENT, writes=True, needs_person=True, form=ways),
    View("/ways/arrive", arrive, "POST", _COME, writes=True, needs_person=True, form=ways),
)
