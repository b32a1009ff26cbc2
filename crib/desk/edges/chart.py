"""Charts of edges: what one piece did over its shifts, or how long the edges of a kind last."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from crib.acts import Said, act, saying
from crib.desk.edges.chart_life import LifeCurve, life_chart, life_curve, life_notes
from crib.desk.edges.chart_wear import WearStory, wear_chart, wear_story
from crib.desk.life.learning import Learned, life_of
from crib.errors import UnknownName
from crib.files.common.paper_sizes import usual_paper
from crib.files.paper.chart import Chart
from crib.files.paper.chart_sheet import ChartSheet, chart_svg, render_chart
from crib.files.paper.pictures import check_place
from crib.stock.book.settings import shop_rules
from crib.stock.book.totals import EDGE_ACTIONS
from crib.stock.engine.session import Session
from crib.stock.queries.kinds import kind_called
from crib.stock.queries.pieces import PieceCard, piece_by_tag
from crib.trade.shop.shop_rules import Rules


@dataclass(frozen=True, slots=True)
class ChartRequest:
    """A tag or a kind's name. ``life``: of a piece, the life of its kind instead of its story.

    ``place`` is where to draw it as an SVG or PDF, if at all.
    """

    name: str
    life: bool = False
    place: Path | None = None


@dataclass(frozen=True, slots=True)
class Charted:
    """What was found, and the chart of it; there is none of a piece that did nothing yet."""

    told: WearStory | LifeCurve
    chart: Chart | None
    drawing: str | None
    notes: tuple[Said, ...]

    def as_json(self) -> dict[str, Any]:
        """What was found, flat; the chart itself is only another face of it."""
        return {
            "shows": "wear" if isinstance(self.told, WearStory) else "life",
            **{field.name: getattr(self.told, field.name) for field in fields(self.told)},
            "drawing": self.drawing,
            "notes": self.notes,
        }


def chart_of(session: Session, request: ChartRequest) -> Charted:
    """The chart of a piece's wear, or of a kind's life, drawn to a file where that is asked.

    Raises:
        UnknownName: when neither a piece nor a kind is called so.
        Refused: for a kind without a cutting edge, or when the file is there already.
        BadInput: for a file that is no drawing's.
        Missing: when there is no such folder.
    """
    if request.place is not None:
        check_place(request.place)
    learned, kind = _learned(session, request.name)
    rules, card = shop_rules(session), _piece(session, request.name)
    if card is not None and not request.life:
        return _drawn(_of_wear(wear_story(session, card, rules), learned), rules, request.place)
    kind_id = card.kind_id if card else int(kind_called(session, _plain(request.name)) or 0)
    told = life_curve(session, kind_id, kind, learned, card)
    notes = tuple(life_notes(told))
    return _drawn(Charted(told, life_chart(told, notes), None, notes), rules, request.place)


def _learned(session: Session, name: str) -> tuple[Learned, str]:
    """What is known of the edges; refuses what has none."""
    life = life_of(session, name)
    return life.learned, life.kind


def _piece(session: Session, name: str) -> PieceCard | None:
    try:
        return piece_by_tag(session, _plain(name))
    except UnknownName:
        return None


def _plain(name: str) -> str:
    return " ".join(name.split())


def _of_wear(story: WearStory, learned: Learned) -> Charted:
    if not story.worked:
        note = f"{story.tag} has made no strokes yet: there is no wear to draw"
        way_on = saying("how long its edge will last: ", act("chart.life", name=story.tag))
        return Charted(story, None, None, (note, way_on))
    notes = tuple(_wear_notes(story, learned))
    return Charted(story, wear_chart(story, notes), None, notes)


def _wear_notes(story: WearStory, learned: Learned) -> Iterator[str]:
    seen = learned.estimate
    ground, turned = (sum(mark.action == name for mark in story.marks) for name in EDGE_ACTIONS)
    yield (
        f"{story.strokes_total:,} strokes since new,"
        f" {f'ground {ground:,} x' if ground else 'not ground yet'}"
        f"{f', turned {turned:,} x' if turned else ''}; what was undone is out"
    )
    yield (
        f"learned: 10 % are dull after {seen.scale_10:,.0f}"
        f" ({seen.low_10:,.0f} to {seen.high_10:,.0f}), from {learned.edges:,} edges"
    )
    if story.days_together > 1:
        yield f"each point takes the shifts of {story.days_together} days together"


def drawn_svg(session: Session, charted: Charted) -> bytes:
    """The chart as an SVG file, as ``place`` would hold it; empty where there is none."""
    if charted.chart is None:
        return b""
    return chart_svg(charted.chart, _sheet(shop_rules(session)))


def _sheet(rules: Rules) -> ChartSheet:
    return ChartSheet(rules.text("crib.name"), usual_paper(rules.system))


def _drawn(charted: Charted, rules: Rules, place: Path | None) -> Charted:
    """The same with its drawing written, or a note that there is nothing to draw."""
    told, chart, notes = charted.told, charted.chart, charted.notes
    if place is None:
        return charted
    if chart is None:
        return Charted(told, None, None, (*notes, "nothing was drawn"))
    render_chart(chart, place, _sheet(rules))
    return Charted(told, chart, str(place), (*notes, f"drawn in {place}"))
