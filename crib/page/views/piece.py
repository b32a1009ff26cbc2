"""A scanned label: where a tool is, how its edge stands, what is due, and what can be done."""

from __future__ import annotations

from urllib.parse import quote

from crib.desk.book.show import PieceReport, show_piece
from crib.desk.common.reminder_levels import reminder
from crib.desk.edges.chart import ChartRequest, chart_of, drawn_svg
from crib.desk.kit.hand_out import HandOut, lend
from crib.desk.kit.hands import bring_back, home_of
from crib.desk.life.learning import SURE, Learned
from crib.page.frame.reply import Done, Drawing, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.page.views.scan import near_to
from crib.stock.book.settings import shop_rules
from crib.units import format_length

NOT_HERE = ("lost", "retired")
TAKEN = ("person", "way")
"""Sorts of places from which nobody takes a tool."""
_THIN = "\N{NARROW NO-BREAK SPACE}"


def piece(asked: PageRequest) -> Reply:
    """Everything at a glance, and a button for each act."""
    found = show_piece(asked.session, asked["tag"])
    home = home_of(asked.session, found.piece.id)
    due = reminder(found.piece, shop_rules(asked.session))
    acts = _acts(found, home)
    values = {"report": found, "piece": found.piece, "home": home, "due": due, "acts": acts}
    life = _life(found.learned) if found.learned else None
    return Shown("piece", {**values, "lengths": _lengths(found), "life": life}, found)


def near(asked: PageRequest) -> Reply:
    """Where no tool has the tag: those that come near, and the scanner."""
    return near_to(asked, asked["tag"])


def _acts(found: PieceReport, home: str) -> list[str]:
    """The acts that make sense with it as it stands, by name."""
    card, is_here = found.piece, found.piece.condition not in NOT_HERE
    in_use = is_here and card.condition != "broken"
    edged = bool(found.standing.state)
    made = [("strokes", in_use and edged), ("take", is_here and card.place_sort not in TAKEN)]
    made += [
        ("back", is_here and card.place_sort != "way" and bool(home) and card.place != home),
        ("broke", in_use),
    ]
    made += [("ground", is_here and edged), ("turn", in_use and card.edges > 1)]
    made += [("measure", card.condition != "retired"), ("look", is_here)]
    return [name for name, makes_sense in made if makes_sense]


def _lengths(found: PieceReport) -> list[tuple[str, str]]:
    """Its length and the least one, in the crib's unit."""
    known = (("length", found.length_mm), ("least", found.standing.least_length_mm))
    return [
        (name, format_length(length_mm, found.unit, digits=3))
        for name, length_mm in known
        if length_mm is not None and found.standing.state
    ]


def _life(learned: Learned) -> dict[str, str | int]:
    """How long an edge of its kind lasts, how sure that is, and who told of the edges before."""
    seen, own = learned.estimate, learned.pools[-1]
    counts = {"at": seen.scale_10, "low": seen.low_10, "high": seen.high_10}
    # A comma or a point between thousands is a decimal one to the reader of the other language.
    said = {name: f"{count:,.0f}".replace(",", _THIN) for name, count in counts.items()}
    return {**said, "percent": 10, "sure": round(10 * SURE), "n": own.ground, "told": own.told}


def life(asked: PageRequest) -> Reply:
    """How long the edges of its kind last, and how sure that is, as drawn on paper."""
    request = ChartRequest(asked["tag"], life=True)
    return Drawing(drawn_svg(asked.session, chart_of(asked.session, request)))


def chart(asked: PageRequest) -> Reply:
    """What its edge did over its shifts, as drawn on paper."""
    return Drawing(drawn_svg(asked.session, chart_of(asked.session, ChartRequest(asked["tag"]))))


def take(asked: PageRequest) -> Reply:
    """Somebody takes it."""
    lent = lend(asked.session, [asked["tag"]], HandOut(asked.by), by=asked.by, now=asked.now)
    return _done(lent.pieces[0].tag, "piece.told.taken", {"by": lent.pieces[0].holder}, lent)


def back(asked: PageRequest) -> Reply:
    """It is back in its drawer."""
    (brought,) = bring_back(asked.session, [asked["tag"]], by=asked.by, now=asked.now)
    return _done(brought.tag, "piece.told.back", {"place": brought.place}, brought)


def _done(tag: str, told: str, slots: dict[str, str], result: object) -> Done:
    return Done(f"/piece/{quote(tag, safe='')}", told, {"tag": tag, **slots}, result)


TAG = FormField("tag", needed=True)
# What stands behind a tag goes first: a tag may hold a slash.
VIEWS = (
    View("/piece/{tag:path}/chart.svg", chart, takes=(TAG,)),
    View("/piece/{tag:path}/life.svg", life, takes=(TAG,)),
    View("/piece/{tag:path}/take", take, "POST", (TAG,), writes=True, needs_person=True),
    View("/piece/{tag:path}/back", back, "POST", (TAG,), writes=True, needs_person=True),
    View("/piece/{tag:path}", piece, takes=(TAG,), form=near),
)
