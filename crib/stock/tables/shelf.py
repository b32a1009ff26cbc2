"""Tables of what stands in the shop: people, machines, seats, stations, places, kinds, pieces."""

from __future__ import annotations

from typing import Any, ClassVar

from sqlalchemy import CheckConstraint, Index, Text, UniqueConstraint, text
from sqlmodel import Field, SQLModel

from crib import words
from crib.stock.tables.limits import EMPTY, not_negative, one_of, positive, site_column

# What can stand in a shop, as a shop rule; a figure beyond it is a slip of unit or finger. They are
# looked at when a row goes in; rows of before are kept as they are, so that no CHECK repeats them.
MOST_SEAT_MM = 500.0
MOST_TOOL_MM = 2000.0
MOST_PLATE_MM = 200.0
MOST_REACH_MM = 5000.0
MOST_STROKE_MM = 1000.0
MOST_WORK_LENGTH_MM = 10_000.0
MOST_BEVEL_MM = 25.0
MOST_REGRIND_MM = 50.0
MOST_RATED_N = 2e7
MOST_LINE_N_MM = 20_000.0
LEAST_STRESS_MPA, MOST_STRESS_MPA = 300.0, 3500.0
MOST_INTERVAL = 10_000_000
MOST_LEAD_DAYS = 1500
MOST_LEAST_COUNT = 10_000


class PersonRecord(SQLModel, table=True):
    """Somebody who comes to the window: a badge name, no password.

    ``may`` are the sorts of acts that they may do at the page (``words.PAGE_ACTS``), with blanks
    between; empty is every one.
    """

    __tablename__: ClassVar[Any] = "person"
    __table_args__ = (CheckConstraint("length(trim(name)) > 0", name="ck_person_name"),)

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True, min_length=1, max_length=60)
    role: str = Field(default="", max_length=60)
    may: str = Field(default="", max_length=200, sa_type=Text, sa_column_kwargs=EMPTY)
    site_id: int | None = Field(default=None, sa_column=site_column("person"))


class MachineRecord(SQLModel, table=True):
    """An ironworker or press."""

    __tablename__: ClassVar[Any] = "machine"
    __table_args__ = (CheckConstraint("length(trim(name)) > 0", name="ck_machine_name"),)

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True, min_length=1, max_length=60)
    plate: str = Field(default="", max_length=200)
    in_service: bool = True
    site_id: int | None = Field(default=None, sa_column=site_column("machine"))


class SeatRecord(SQLModel, table=True):
    """A seating geometry, named by the shop and declared in numbers."""

    __tablename__: ClassVar[Any] = "seat"
    __table_args__ = (
        CheckConstraint("length(trim(name)) > 0", name="ck_seat_name"),
        CheckConstraint(
            "(head_diameter_mm IS NOT NULL AND body_diameter_mm IS NOT NULL)"
            " OR (die_diameter_mm IS NOT NULL AND die_height_mm IS NOT NULL)",
            name="ck_seat_in_numbers",
        ),
        *positive(
            "seat",
            "head_diameter_mm",
            "head_thickness_mm",
            "body_diameter_mm",
            "nut_bore_mm",
            "punch_length_mm",
            "die_diameter_mm",
            "die_height_mm",
            "nut_diameter_mm",
        ),
    )

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True, min_length=1, max_length=60)
    head_diameter_mm: float | None = Field(default=None, gt=0, le=MOST_SEAT_MM)
    head_thickness_mm: float | None = Field(default=None, gt=0, le=MOST_SEAT_MM)
    body_diameter_mm: float | None = Field(default=None, gt=0, le=MOST_SEAT_MM)
    nut_bore_mm: float | None = Field(default=None, gt=0, le=MOST_SEAT_MM)
    punch_length_mm: float | None = Field(default=None, gt=0, le=MOST_SEAT_MM)
    die_diameter_mm: float | None = Field(default=None, gt=0, le=MOST_SEAT_MM)
    die_height_mm: float | None = Field(default=None, gt=0, le=MOST_SEAT_MM)
    keyed: bool = False
    note: str = Field(default="", max_length=400)
    nut_diameter_mm: float | None = Field(default=None, gt=0, le=MOST_SEAT_MM)


class StationRecord(SQLModel, table=True):
    """A place on a machine that takes tooling."""

    __tablename__: ClassVar[Any] = "station"
    __table_args__ = (
        UniqueConstraint("machine_id", "name", name="uq_station_name"),
        CheckConstraint("derate >= 0 AND derate < 1", name="ck_station_derate"),
        *positive("station", "rated_force_n", "throat_mm", "daylight_mm", "lever_mm", "stroke_mm"),
        one_of("does", words.STATION_WORK, "ck_station_does"),
    )

    id: int | None = Field(default=None, primary_key=True)
    machine_id: int = Field(foreign_key="machine.id")
    name: str = Field(min_length=1, max_length=60)
    does: str = "punch"
    rated_force_n: float | None = Field(default=None, gt=0, le=MOST_RATED_N)
    derate: float = Field(default=0.0, ge=0, lt=1)
    throat_mm: float | None = Field(default=None, gt=0, le=MOST_REACH_MM)
    daylight_mm: float | None = Field(default=None, gt=0, le=MOST_REACH_MM)
    lever_mm: float | None = Field(default=None, gt=0, le=MOST_REACH_MM)
    note: str = Field(default="", max_length=400)
    stroke_mm: float | None = Field(default=None, gt=0, le=MOST_STROKE_MM)


class MaterialRecord(SQLModel, table=True):
    """A material that the shop added, with what its certificate or standard says."""

    __tablename__: ClassVar[Any] = "material"
    __table_args__ = (
        CheckConstraint("length(trim(name)) > 0", name="ck_material_name"),
        CheckConstraint("upper_tensile_mpa >= tensile_mpa", name="ck_material_upper"),
        CheckConstraint("length(trim(source)) > 0", name="ck_material_source"),
        *positive("material", "tensile_mpa", "yield_mpa", "multiplier", "min_hole_ratio"),
        *not_negative("material", "bend_radius_t"),
        one_of("family", words.MATERIAL_FAMILIES, "ck_material_family"),
    )

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True, min_length=1, max_length=40)
    aliases: str = Field(default="", max_length=200)
    family: str
    tensile_mpa: float = Field(gt=0, le=2500)
    upper_tensile_mpa: float = Field(gt=0, le=4500)
    yield_mpa: float | None = Field(default=None, gt=0, le=2500)
    multiplier: float = Field(gt=0, le=4)
    min_hole_ratio: float | None = Field(default=None, gt=0, le=4)
    bend_radius_t: float | None = Field(default=None, ge=0, le=10)
    source: str = Field(min_length=1, max_length=200)
    note: str = Field(default="", max_length=400)
    person_id: int = Field(foreign_key="person.id")
    changed_at: str
    why: str = Field(default="", max_length=400)


class StationSeatRecord(SQLModel, table=True):
    """A seat that a station accepts."""

    __tablename__: ClassVar[Any] = "station_seat"

    station_id: int = Field(foreign_key="station.id", primary_key=True)
    seat_id: int = Field(foreign_key="seat.id", primary_key=True)


class PlaceRecord(SQLModel, table=True):
    """Where a piece can be: a drawer, a station, the grinder, somebody's hands.

    A station's place is at its machine's site. What is on the way lies with the site it left until
    ``to_site_id`` has it.
    """

    __tablename__: ClassVar[Any] = "place"
    __table_args__ = (
        CheckConstraint("length(trim(name)) > 0", name="ck_place_name"),
        CheckConstraint("(sort = 'station') = (station_id IS NOT NULL)", name="ck_place_station"),
        CheckConstraint("(sort = 'way') = (to_site_id IS NOT NULL)", name="ck_place_way"),
        CheckConstraint("to_site_id <> site_id", name="ck_place_to_site"),
        one_of("sort", words.PLACE_SORTS, "ck_place_sort"),
    )

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True, min_length=1, max_length=80)
    sort: str = "drawer"
    walk_order: int = 0
    station_id: int | None = Field(default=None, foreign_key="station.id", unique=True)
    site_id: int | None = Field(default=None, sa_column=site_column("place"))
    to_site_id: int | None = Field(default=None, sa_column=site_column("place", "to_site_id"))


class KindRecord(SQLModel, table=True):
    """What you would order more of."""

    __tablename__: ClassVar[Any] = "kind"
    __table_args__ = (
        CheckConstraint("length(trim(name)) > 0", name="ck_kind_name"),
        CheckConstraint(
            "long_mm IS NULL OR (width_mm IS NOT NULL AND long_mm >= width_mm)",
            name="ck_kind_long",
        ),
        CheckConstraint(
            "role NOT IN ('punch', 'die') OR (shape <> '' AND width_mm IS NOT NULL)",
            name="ck_kind_size",
        ),
        CheckConstraint(
            "role NOT IN ('punch_adapter', 'die_adapter')"
            " OR (seat_id IS NOT NULL AND presents_seat_id IS NOT NULL)",
            name="ck_kind_adapter",
        ),
        CheckConstraint("edges IN (1, 2, 4)", name="ck_kind_edges"),
        *positive(
            "kind",
            "width_mm",
            "depth_mm",
            "header_mm",
            "least_wall_mm",
            "most_wall_mm",
            "work_length_mm",
            "line_limit_n_mm",
            "length_mm",
            "least_length_mm",
            "stress_limit_mpa",
            "interval_strokes",
            "rated_force_n",
            "learned_strokes",
            "corner_radius_mm",
        ),
        CheckConstraint("angle_deg > 0 AND angle_deg <= 180", name="ck_kind_angle_deg"),
        CheckConstraint("most_wall_mm >= least_wall_mm", name="ck_kind_walls"),
        CheckConstraint("header_mm >= width_mm", name="ck_kind_header"),
        *not_negative(
            "kind",
            "regrind_mm",
            "bevel_mm",
            "added_height_mm",
            "price_cents",
            "lead_days",
            "least_count",
        ),
        one_of("role", words.ROLES, "ck_kind_role"),
        one_of("shape", ("", *words.SHAPES), "ck_kind_shape"),
        one_of("face", words.FACES, "ck_kind_face"),
        one_of("profile", ("", *words.PROFILES), "ck_kind_profile"),
        Index("ix_kind_size", "role", "shape", "width_mm"),
    )

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True, min_length=1, max_length=120)
    role: str
    shape: str = ""
    width_mm: float | None = Field(default=None, gt=0, le=MOST_TOOL_MM)
    long_mm: float | None = Field(default=None, gt=0, le=MOST_TOOL_MM)
    profile: str = ""
    depth_mm: float | None = Field(default=None, gt=0, le=MOST_TOOL_MM)
    angle_deg: float | None = Field(default=None, gt=0, le=180)
    header_mm: float | None = Field(default=None, gt=0, le=MOST_TOOL_MM)
    least_wall_mm: float | None = Field(default=None, gt=0, le=MOST_PLATE_MM)
    most_wall_mm: float | None = Field(default=None, gt=0, le=MOST_PLATE_MM)
    work_length_mm: float | None = Field(default=None, gt=0, le=MOST_WORK_LENGTH_MM)
    line_limit_n_mm: float | None = Field(default=None, gt=0, le=MOST_LINE_N_MM)
    seat_id: int | None = Field(default=None, foreign_key="seat.id")
    presents_seat_id: int | None = Field(default=None, foreign_key="seat.id")
    key_angles: str = Field(default="", max_length=40)
    face: str = "flat"
    bevel_mm: float = Field(default=0.0, ge=0, le=MOST_BEVEL_MM)
    length_mm: float | None = Field(default=None, gt=0, le=MOST_TOOL_MM)
    least_length_mm: float | None = Field(default=None, gt=0, le=MOST_TOOL_MM)
    regrind_mm: float | None = Field(default=None, ge=0, le=MOST_REGRIND_MM)
    edges: int = 1
    stress_limit_mpa: float | None = Field(default=None, ge=LEAST_STRESS_MPA, le=MOST_STRESS_MPA)
    interval_strokes: int | None = Field(default=None, gt=0, le=MOST_INTERVAL)
    rated_force_n: float | None = Field(default=None, gt=0, le=MOST_RATED_N)
    added_height_mm: float | None = Field(default=None, ge=0, le=MOST_SEAT_MM)
    price_cents: int | None = Field(default=None, ge=0)
    lead_days: int | None = Field(default=None, ge=0, le=MOST_LEAD_DAYS)
    supplier: str = Field(default="", max_length=80)
    least_count: int = Field(default=0, ge=0, le=MOST_LEAST_COUNT)
    note: str = Field(default="", max_length=400)
    learned_strokes: int | None = Field(default=None, gt=0)
    corner_radius_mm: float | None = Field(default=None, gt=0, le=MOST_TOOL_MM)
    learned_life: str = Field(default="", max_length=300, sa_type=Text, sa_column_kwargs=EMPTY)


class EnvelopePointRecord(SQLModel, table=True):
    """A (size, thickness) that a station or an attachment is proven for."""

    __tablename__: ClassVar[Any] = "envelope_point"
    __table_args__ = (
        CheckConstraint(
            "(station_id IS NULL) <> (kind_id IS NULL)", name="ck_envelope_point_owner"
        ),
        *positive("envelope_point", "size_mm", "thickness_mm", "depth_mm"),
        CheckConstraint(
            "cut_angle_deg >= 0 AND cut_angle_deg < 90", name="ck_envelope_point_angle"
        ),
    )

    id: int | None = Field(default=None, primary_key=True)
    station_id: int | None = Field(default=None, foreign_key="station.id", index=True)
    kind_id: int | None = Field(default=None, foreign_key="kind.id", index=True)
    operation: str = Field(min_length=1, max_length=60)
    cut_angle_deg: float = Field(default=0.0, ge=0, lt=90)
    size_mm: float = Field(gt=0, le=MOST_WORK_LENGTH_MM)
    thickness_mm: float = Field(gt=0, le=MOST_PLATE_MM)
    material: str = Field(default="A36", max_length=40)
    depth_mm: float | None = Field(default=None, gt=0, le=MOST_TOOL_MM)


class PieceRecord(SQLModel, table=True):
    """One physical tool, with the tag stamped on it, and its running totals."""

    __tablename__: ClassVar[Any] = "piece"
    __table_args__ = (
        CheckConstraint("length(trim(tag)) > 0 AND tag = upper(tag)", name="ck_piece_tag"),
        CheckConstraint("edge IN (1, 2, 3, 4)", name="ck_piece_edge"),
        *positive("piece", "measured_width_mm", "measured_long_mm", "length_mm"),
        *not_negative(
            "piece", "wear_milli", "strokes_edge", "strokes_total", "grinds", "ground_um"
        ),
        one_of("condition", words.CONDITIONS, "ck_piece_condition"),
        Index("ix_piece_kind", "kind_id", "condition", "wear_milli"),
        Index(
            "ix_piece_measured",
            *("measured_width_mm", "kind_id", "condition", "place_id", "wear_milli"),
            *("dedicated_to", "length_mm", "ground_um", "measured_long_mm"),
            sqlite_where=text("measured_width_mm IS NOT NULL"),
            postgresql_where=text("measured_width_mm IS NOT NULL"),
        ),
        Index("ix_piece_wear", "wear_milli"),
        Index("ix_piece_condition", "condition"),
    )

    id: int | None = Field(default=None, primary_key=True)
    kind_id: int = Field(foreign_key="kind.id")
    tag: str = Field(unique=True, min_length=1, max_length=40)
    place_id: int | None = Field(default=None, foreign_key="place.id", index=True)
    condition: str = "sound"
    measured_width_mm: float | None = Field(default=None, gt=0, le=MOST_TOOL_MM)
    measured_long_mm: float | None = Field(default=None, gt=0, le=MOST_TOOL_MM)
    length_mm: float | None = Field(default=None, gt=0, le=MOST_TOOL_MM)
    edge: int = 1
    wear_milli: int = Field(default=0, ge=0)
    strokes_edge: int = Field(default=0, ge=0)
    strokes_total: int = Field(default=0, ge=0)
    grinds: int = Field(default=0, ge=0)
    ground_um: int = Field(default=0, ge=0)
    acknowledged: str = ""
    deferred: bool = False
    changed_on: str = ""
    latest_on: str = ""
    dedicated_to: str = Field(default="", max_length=40)
    bought_on: str = Field(default="", max_length=10)
    price_cents: int | None = Field(default=None, ge=0)
    note: str = Field(default="", max_length=400)
