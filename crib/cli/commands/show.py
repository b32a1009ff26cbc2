"""``crib show``: everything about one piece."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from crib.cli.commands.history import entry_line
from crib.cli.commands.life import edges_seen
from crib.cli.door import CribOption, JsonOption, TagWords, answer, opened, table
from crib.desk.book.show import PieceReport, show_piece
from crib.desk.common.tool_cards import key_angles
from crib.desk.life.learning import Learned
from crib.desk.strokes.stroke_weight import SeverityWhy
from crib.features.common.key_words import keyed_words
from crib.stock.queries.kinds import SeatNumbers
from crib.stock.queries.pieces import PieceCard
from crib.trade.life.wear import Factor
from crib.units import System, format_length, format_length_both, format_money

if TYPE_CHECKING:
    from rich.console import Console

_CALLED = {"die_share": "share of a die"}
_RECORD = {
    "no_thickness": "no thickness on record, counted at 1.00 a stroke",
    "not_kept": "its factors are not on record",
}


def command(
    tag: TagWords,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Everything about one piece.

    Example: crib show P-0137
    """
    with opened(crib) as session:
        answer(show_piece(session, " ".join(tag)), draw, as_json)


def draw(screen: Console, report: PieceReport) -> None:
    """A list of what is known, then the last entries."""
    from rich.table import Table

    screen.print(f"{report.piece.tag}  {report.piece.kind_name}")
    grid = Table.grid(padding=(0, 2))
    grid.add_column(no_wrap=True)
    grid.add_column(overflow="fold")
    facts = [*_what(report), *_wear(report), *_length(report), *_bought(report)]
    for name, text in facts:
        grid.add_row(f"  {name}", text)
    screen.print(grid)
    rows = table("entry", "when", "who", "what", right=["entry"])
    for entry in report.entries:
        rows.add_row(str(entry.entry), entry.at, entry.who, entry_line(entry))
    screen.print(rows)
    if report.entries_more:
        tag = report.piece.tag
        screen.print(f"{report.entries_more:,} older entries: crib history {tag} --most 100")


def _what(report: PieceReport) -> list[tuple[str, str]]:
    piece, unit = report.piece, report.unit
    facts = [("is a", f"{piece.shape} {piece.role.replace('_', ' ')}".strip())]
    if piece.width_mm is not None:
        facts.append(("size", _sides([piece.width_mm, piece.long_mm], unit)))
    if piece.measured_width_mm is not None or piece.measured_long_mm is not None:
        text = _sides([piece.measured_width_mm, piece.measured_long_mm], unit)
        facts.append(("measured", f"{text}; this counts"))
    if piece.corner_radius_mm is not None:
        facts.append(("corners", f"radius {format_length_both(piece.corner_radius_mm, unit)}"))
    if keys := key_angles(piece):
        facts.append(("key", keyed_words(piece.shape, keys)))
    if piece.face != "flat":
        facts.append(("face", piece.face))
    facts.append(("seat", _seat(report.seat, unit) if report.seat else "none on record"))
    if piece.dedicated_to:
        facts.append(("only for", piece.dedicated_to))
    facts.append(("place", _place(report)))
    if report.hold is not None:
        facts.append(("kit", f"{report.hold.words}{' (spare)' if report.hold.spare else ''}"))
    return [*facts, ("condition", piece.condition)]


def _place(report: PieceReport) -> str:
    """Where it is, and at which site of several; what is on the way with the day it should come."""
    place = report.piece.place or "no place on record"
    if report.way is not None:
        late = f", {report.way.days_late} days late" if report.way.days_late else ""
        return f"on the way, {place}: sent {report.way.sent_on}, there by {report.way.due_on}{late}"
    return f"{place}, at {report.site}" if report.site else place


def _sides(sides_mm: Sequence[float | None], unit: System) -> str:
    return " x ".join(format_length_both(one, unit) for one in sides_mm if one is not None)


def _seat(seat: SeatNumbers, unit: System) -> str:
    numbers = (
        ("head", seat.head_diameter_mm),
        ("head thickness", seat.head_thickness_mm),
        ("body", seat.body_diameter_mm),
        ("nut bore", seat.nut_bore_mm),
        ("punch length", seat.punch_length_mm),
        ("die OD", seat.die_diameter_mm),
        ("die height", seat.die_height_mm),
        ("nut outside", seat.nut_diameter_mm),
    )
    known = [
        f"{name} {format_length(value_mm, unit, digits=3)}"
        for name, value_mm in numbers
        if value_mm is not None
    ]
    return f"{seat.name} ({', '.join(known)}{', keyed' if seat.keyed else ''})"


def _wear(report: PieceReport) -> list[tuple[str, str]]:
    piece, stands = report.piece, report.standing
    facts = []
    if piece.edges > 1:
        facts.append(("edge in use", f"{piece.edge} of {piece.edges}"))
    if stands.state:
        share = f"{piece.wear:,.0f} of {stands.interval:,.0f} weighted strokes"
        facts.append(("edge", f"{stands.state}, {100 * stands.used:.0f} % used: {share}"))
    if report.learned is not None:
        facts.append(("interval", _interval(piece, report.learned)))
        facts.append(("learned", _learned(report.learned)))
    fresh = "the edge was fresh" if piece.edges > 1 else "grind"
    strokes = f"{piece.strokes_edge:,} since {fresh}, {piece.strokes_total:,} since new"
    facts.append(("strokes", strokes))
    if report.why is not None:
        facts.append(("weight", _why(report.why)))
    if piece.deferred:
        facts.append(("put off", "once already, until the next grind"))
    return facts


def _interval(piece: PieceCard, learned: Learned) -> str:
    """The interval in use, and why."""
    whose = "shop" if piece.interval_strokes is None else "kind"
    if piece.learned_strokes is None:
        return f"{learned.interval:,.0f}, the {whose}'s setting"
    seen = f"{piece.learned_strokes:,} learned from {edges_seen(learned.own)}"
    return f"{seen}; the {whose}'s setting is {learned.interval:,.0f}"


def _learned(learned: Learned) -> str:
    seen = learned.estimate
    return (
        f"10 % dull after {seen.scale_10:,.0f} weighted strokes"
        f" ({seen.low_10:,.0f} to {seen.high_10:,.0f}), from {edges_seen(learned.edges)}"
    )


def _why(why: SeverityWhy) -> str:
    """The factors that the entry keeps."""
    factors = [f"{_CALLED.get(one.name, one.name)} {one.value:.4g}" for one in _telling(why)]
    parts = [" x ".join(factors), _RECORD.get(why.record, "")]
    told = "; ".join(part for part in parts if part) or "all factors 1"
    return f"each stroke weighs {why.each:.3g} (entry {why.entry}): {told}"


def _telling(why: SeverityWhy) -> list[Factor]:
    """Material and thickness always, of the rest what weighs."""
    return [one for one in why.factors if one.value != 1.0 or one.name in ("material", "thickness")]


def _length(report: PieceReport) -> list[tuple[str, str]]:
    piece, stands, unit = report.piece, report.standing, report.unit
    facts = []
    if report.length_mm is not None:
        measured = piece.length_mm is not None
        how = "measured" if measured else "when new, less what was ground off"
        facts.append(("length", f"{format_length_both(report.length_mm, unit)}, {how}"))
    if stands.least_length_mm is not None:
        facts.append(("least length", format_length_both(stands.least_length_mm, unit)))
    if stands.grinds_left is not None:
        facts.append(("grinds", f"{_ground(piece, unit)}; {stands.grinds_left} left"))
    return facts


def _ground(piece: PieceCard, unit: System) -> str:
    """Grinds in the ledger, and what came off, which a used piece brought in part with it."""
    off = format_length(piece.ground_um / 1000, unit, digits=3)
    if piece.grinds:
        return f"{piece.grinds} logged here, {off} off in all"
    return f"none logged here, {off} off before" if piece.ground_um else "none yet"


def _bought(report: PieceReport) -> list[tuple[str, str]]:
    piece = report.piece
    parts = [part for part in (piece.bought_on, piece.supplier) if part]
    if report.price_cents is not None:
        parts.append(format_money(report.price_cents, report.currency))
    facts = [("bought", ", ".join(parts))] if parts else []
    return [*facts, ("note", piece.note)] if piece.note else facts
