"""Kinds as specifications of the tools that they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from crib.features.common.tool_spec import ToolSpec
from crib.features.common.tooling import EnvelopeRow, Seat
from crib.stock.engine.engine import Row
from crib.stock.engine.session import Session
from crib.stock.queries.candidates import envelopes_of_kinds, seats_by_name

KIND_COLUMNS = (
    "role",
    "shape",
    "width_mm",
    "long_mm",
    "profile",
    "depth_mm",
    "angle_deg",
    "header_mm",
    "least_wall_mm",
    "most_wall_mm",
    "work_length_mm",
    "line_limit_n_mm",
    "rated_force_n",
    "edges",
    "face",
)
"""What the record and the specification call by the same name."""

_SQL = (
    f"SELECT kind.id, kind.name, {', '.join(f'kind.{name}' for name in KIND_COLUMNS)},"
    " kind.key_angles, kind.length_mm, kind.bevel_mm, kind.added_height_mm,"
    " seat.name AS seat_name,"
    " presents.name AS presents_seat FROM kind LEFT JOIN seat ON seat.id = kind.seat_id"
    " LEFT JOIN seat AS presents ON presents.id = kind.presents_seat_id"
)


@dataclass(frozen=True, slots=True)
class Declared:
    """What kinds refer to: the seats in numbers, and what each kind is proven for."""

    seats: Mapping[str, Seat]
    proven: Mapping[int, Sequence[EnvelopeRow]]

    @staticmethod
    def read(session: Session) -> Declared:
        """As it is declared now."""
        return Declared(seats_by_name(session), envelopes_of_kinds(session))


@dataclass(frozen=True, slots=True)
class KindSpec:
    """A kind with what it is."""

    id: int
    name: str
    spec: ToolSpec


def all_kind_specs(session: Session) -> list[KindSpec]:
    """Every kind."""
    return _kinds(session, Declared.read(session))


def spec_of_kind(session: Session, kind_id: int) -> ToolSpec:
    """What a kind is."""
    (kind,) = _kinds(session, Declared.read(session), "WHERE kind.id = ?", (kind_id,))
    return kind.spec


def kinds_of_shape(session: Session, wanted: ToolSpec) -> list[KindSpec]:
    """The kinds of a role and shape."""
    where = "WHERE kind.role = ? AND kind.shape = ?"
    return _kinds(session, Declared.read(session), where, (wanted.role, wanted.shape))


def kinds_of_size(
    session: Session, declared: Declared, wanted: ToolSpec, widths_mm: tuple[float, float]
) -> list[KindSpec]:
    """The kinds of a role and shape whose width is within limits [mm]."""
    where = "WHERE kind.role = ? AND kind.shape = ? AND kind.width_mm BETWEEN ? AND ?"
    return _kinds(session, declared, where, (wanted.role, wanted.shape, *widths_mm))


def _kinds(
    session: Session, declared: Declared, where: str = "", values: Sequence[Any] = ()
) -> list[KindSpec]:
    rows = session.rows(f"{_SQL} {where} ORDER BY kind.id", values)
    return [KindSpec(row["id"], row["name"], _spec(row, declared)) for row in rows]


def _spec(row: Row, declared: Declared) -> ToolSpec:
    """A kind's specification; a punch without a length has its seat's."""
    seat = declared.seats.get(row["seat_name"] or "")
    usual_mm = seat.punch_length_mm if seat and row["role"] == "punch" else None
    return ToolSpec(
        **{name: row[name] for name in KIND_COLUMNS},
        key_angles=tuple(int(angle) for angle in row["key_angles"].split()),
        length_mm=row["length_mm"] or usual_mm,
        bevel_mm=row["bevel_mm"] or None,
        added_height_mm=row["added_height_mm"] or None,
        seat_name=row["seat_name"] or "",
        seat_numbers=seat.numbers(row["role"], row["profile"]) if seat else (),
        presents_seat=row["presents_seat"] or "",
        envelope=tuple(declared.proven.get(row["id"], ())),
    )
