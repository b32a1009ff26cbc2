"""What the ledger amounts to for one piece: its totals, entry by entry.

Wear, edges and lengths are taken in the order of shift dates, for a late shift wore the edge that
was in use then. Place and condition are taken in the order of writing (``conditions``).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from operator import itemgetter
from typing import Any

from crib.stock.book.conditions import STATE_COLUMNS, state_after
from crib.stock.engine.engine import Row

EDGE_ACTIONS = ("grind", "turn")
DATED_COLUMNS = (
    "length_mm",
    "measured_width_mm",
    "measured_long_mm",
    "edge",
    "acknowledged",
)


@dataclass(frozen=True, slots=True)
class Totals:
    """What the ledger says of one piece. A piece that was never added counts as retired."""

    place_id: int | None = None
    condition: str = "retired"
    measured_width_mm: float | None = None
    measured_long_mm: float | None = None
    length_mm: float | None = None
    edge: int = 1
    wear_milli: int = 0
    strokes_edge: int = 0
    strokes_total: int = 0
    grinds: int = 0
    ground_um: int = 0
    acknowledged: str = ""
    deferred: bool = False
    changed_on: str = ""
    latest_on: str = ""


TOTAL_NAMES = tuple(one.name for one in fields(Totals))
_FIGURES = ("shift_on", "quantity", "weighted_milli", "strokes_edge", "ground_um")
FOLDED_COLUMNS = ", ".join(
    (STATE_COLUMNS, *(f"entry.{name}" for name in (*_FIGURES, *DATED_COLUMNS)))
)
"""The columns of an entry that ``fold`` reads."""


def step(totals: Totals, entry: Mapping[str, Any] | Row) -> Totals:
    """What one effective entry, other than strokes, makes of the totals that go by its date."""
    action, shift_on = entry["action"], entry["shift_on"]
    changes: dict[str, Any] = {
        name: entry[name] for name in DATED_COLUMNS if entry[name] is not None
    }
    changes["latest_on"] = max(totals.latest_on, shift_on)
    changes["changed_on"] = max(totals.changed_on, shift_on)
    if action in EDGE_ACTIONS:
        changes |= {"wear_milli": 0, "strokes_edge": 0, "acknowledged": "", "deferred": False}
    if action == "grind":
        changes["grinds"] = totals.grinds + 1
        changes["ground_um"] = totals.ground_um + entry["ground_um"]
    if action == "defer":
        changes["deferred"] = True
    if action == "add":
        changes["wear_milli"] = totals.wear_milli + entry["weighted_milli"]
        changes["strokes_edge"] = totals.strokes_edge + entry["strokes_edge"]
        changes["strokes_total"] = totals.strokes_total + entry["quantity"]
        changes["ground_um"] = totals.ground_um + entry["ground_um"]
    return replace(totals, **changes)


def fold(entries: Iterable[Row]) -> Totals:
    """What effective entries of one piece amount to, given in the order of their shift dates.

    Strokes move nothing but sums, so a run of them is added up and taken as one.
    """
    totals = Totals()
    written: list[Row] = []
    weighted_milli = count = 0
    latest_on = ""
    for entry in entries:
        if entry["action"] == "strokes":
            weighted_milli += entry["weighted_milli"]
            count += entry["quantity"]
            latest_on = entry["shift_on"]
        else:
            written.append(entry)
            totals = step(_with_strokes(totals, weighted_milli, count, latest_on), entry)
            weighted_milli = count = 0
    state = state_after(sorted(written, key=itemgetter("id")))
    totals = replace(totals, place_id=state.place_id, condition=state.condition)
    return _with_strokes(totals, weighted_milli, count, latest_on)


def _with_strokes(totals: Totals, weighted_milli: int, count: int, latest_on: str) -> Totals:
    return replace(
        totals,
        wear_milli=totals.wear_milli + weighted_milli,
        strokes_edge=totals.strokes_edge + count,
        strokes_total=totals.strokes_total + count,
        latest_on=max(totals.latest_on, latest_on),
    )
