"""Remember an ask that the crib could not serve, once for each ask and job; and what it lacked."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from crib.desk.answer.order_lines import OrderLine
from crib.errors import BadValue
from crib.features.common.tool_spec import ToolSpec, spec_from_json
from crib.stock.book.ledger import new_stamp
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session
from crib.stock.writers.wants import WantCount, count_want
from crib.words import ROLES

_SIZED = ("punch", "die")
_NARROW = ("role", "quantity", "shape", "width_mm", "long_mm")


@dataclass(frozen=True, slots=True)
class MissedTool:
    """One tool that a want lacked, and the name of the crib's kind that was the same, if any.

    It is not ``whole`` as older cribs kept it: role, outline, two sizes and seat.
    """

    spec: ToolSpec
    kind: str | None
    whole: bool = True


def missing_text(lines: Sequence[OrderLine]) -> str:
    """What a want lacks, as it is kept."""
    return json.dumps([line.as_json() for line in lines], ensure_ascii=False)


def read_missing(text: str) -> list[MissedTool] | None:
    """The tools that a want lacked; None when that cannot be read."""
    try:
        rows = json.loads(text or "null")
        return [_read_tool(row) for row in rows] if isinstance(rows, list) else None
    except (ValueError, BadValue):
        return None


def _read_tool(row: Any) -> MissedTool:
    if not isinstance(row, dict):
        message = f"a tool that was missed is an object, not {str(row)[:40]!r}"
        raise BadValue(message)
    whole = "specification" in row
    narrow = {name: row[name] for name in _NARROW if name in row} | {"seat_name": row.get("seat")}
    spec = spec_from_json(row["specification"] if whole else narrow)
    kind = row.get("kind")
    sized = spec.width_mm is not None or spec.role not in _SIZED
    if spec.role not in ROLES or not sized or not isinstance(kind, str | None):
        message = f"{spec.role[:40]!r}: no such tool, or one without a size"
        raise BadValue(message)
    return MissedTool(spec, kind, whole)


def remember_want(
    session: Session,
    phrase: str,
    *,
    job: str,
    quantity: int,
    missing: Sequence[OrderLine],
    by: str,
    now: datetime | None = None,
    asked: bool = True,
) -> WantCount:
    """Record a missed ask, or count it again.

    Asked five times for one job it is one want: its quantity is the largest that was asked. One
    that was struck out is open again when somebody ``asked``, not when a plan meets it again.
    """
    stamp = new_stamp(person_id(session, by), now=now)
    text = missing_text(missing)
    with session.writing():
        return count_want(session, stamp, phrase, job, quantity, text, asked=asked)
