"""Kinds as specifications of the tools that they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import astuple, dataclass
from typing import Any

from crib.features.common.tool_spec import ToolSpec
from crib.features.common.tooling import EnvelopeRow, Seat
from crib.stock.engine.engine import Row
from crib.stock.engine.in_lists import asked_tables
from crib.stock.engine.session import Session
from crib.stock.queries.stations import all_envelopes, seats_by_name

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
    "corner_radius_mm",
)
"""What the record and the specification call by the same name."""

_COLUMNS = (
    f"kind.id, kind.name, {', '.join(f'kind.{name}' for name in KIND_COLUMNS)},"
    " kind.key_angles, kind.length_mm, kind.bevel_mm, kind.added_height_mm,"
    " seat.name AS seat_name, presents.name AS presents_seat"
)
_BESIDE = (
    "LEFT JOIN seat ON seat.id = kind.seat_id"
    " LEFT JOIN seat AS presents ON presents.id = kind.presents_seat_id"
)
_SIZE_COLUMNS = {
    **{"n": "INTEGER", "role": "TEXT", "shape": "TEXT"},
    **{"least_mm": "DOUBLE PRECISION", "most_mm": "DOUBLE PRECISION"},
}


@dataclass(frozen=True, slots=True)
class Declared:
    """What kinds refer to: the seats in numbers, and what each kind is proven for."""

    seats: Mapping[str, Seat]
    proven: Mapping[int, Sequence[EnvelopeRow]]

    @staticmethod
    def read(session: Session) -> Declared:
        """As it is declared now."""
        return Declared(seats_by_name(session), all_envelopes(session).of_kind)


@dataclass(frozen=True, slots=True)
class SizeAsk:
    """Kinds of a role and shape whose width is within limits [mm]."""

    role: str
    shape: str
    least_mm: float
    most_mm: float


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


def kinds_of_sizes(
    session: Session, declared: Declared, asked: Sequence[SizeAsk]
) -> list[list[KindSpec]]:
    """For each size the kinds of its role and shape whose width is within its limits."""
    kinds: list[list[KindSpec]] = [[] for _one in asked]
    known: dict[int, KindSpec] = {}
    rows = [(number, *astuple(one)) for number, one in enumerate(asked)]
    for sizes, values in asked_tables(_SIZE_COLUMNS, rows):
        for row in session.rows(
            f"{sizes} SELECT asked.n, {_COLUMNS} FROM asked {session.engine.hint.then_join} kind"
            " ON kind.role = asked.role AND kind.shape = asked.shape"
            " AND kind.width_mm BETWEEN asked.least_mm AND asked.most_mm"
            f" {_BESIDE} ORDER BY asked.n, kind.id",
            values,
        ):
            if row["id"] not in known:
                known[row["id"]] = KindSpec(row["id"], row["name"], _spec(row, declared))
            kinds[row["n"]].append(known[row["id"]])
    return kinds


def _kinds(
    session: Session, declared: Declared, where: str = "", values: Sequence[Any] = ()
) -> list[KindSpec]:
    rows = session.rows(f"SELECT {_COLUMNS} FROM kind {_BESIDE} {where} ORDER BY kind.id", values)
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
