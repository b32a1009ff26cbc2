"""Tables of work that is planned: runs of a job, pieces promised to it, paper sheets."""

from __future__ import annotations

from typing import Any, ClassVar

from sqlalchemy import Index, Text, UniqueConstraint, text
from sqlmodel import Field, SQLModel

from crib import words
from crib.stock.tables.limits import not_negative, one_of, positive


class PlannedRunRecord(SQLModel, table=True):
    """A feature of a job in one station with one set of tools, and how much of it is logged.

    ``piece_id`` is the tool that strikes, ``with_piece_id`` the die under it. ``strokes`` and
    ``weighted_milli`` are of all ``quantity`` features.
    """

    __tablename__: ClassVar[Any] = "planned_run"
    __table_args__ = (
        UniqueConstraint("job_id", "sequence", name="uq_planned_run"),
        *positive("planned_run", "quantity", "strokes", "thickness_mm", "sequence"),
        *not_negative("planned_run", "weighted_milli", "logged"),
        Index("ix_planned_run_piece", "piece_id"),
        Index("ix_planned_run_with", "with_piece_id"),
    )

    id: int | None = Field(default=None, primary_key=True)
    job_id: int = Field(foreign_key="job.id")
    sequence: int = Field(gt=0)
    station_id: int = Field(foreign_key="station.id")
    piece_id: int = Field(foreign_key="piece.id")
    with_piece_id: int | None = Field(default=None, foreign_key="piece.id")
    mark: str = Field(default="", max_length=60)
    phrase: str = Field(min_length=1, max_length=200)
    material: str = Field(default="", max_length=40)
    thickness_mm: float | None = Field(default=None, gt=0)
    quantity: int = Field(gt=0)
    strokes: int = Field(gt=0)
    weighted_milli: int = Field(default=0, ge=0)
    logged: int = Field(default=0, ge=0)
    person_id: int = Field(foreign_key="person.id")
    made_at: str


class PlannedRunPieceRecord(SQLModel, table=True):
    """A piece that cuts with the one of a planned run: the other blades, a set's other half."""

    __tablename__: ClassVar[Any] = "planned_run_piece"
    __table_args__ = (
        *positive("planned_run_piece", "sequence"),
        Index("ix_planned_run_piece_piece", "piece_id"),
    )

    job_id: int = Field(foreign_key="job.id", primary_key=True)
    sequence: int = Field(primary_key=True, gt=0)
    piece_id: int = Field(foreign_key="piece.id", primary_key=True)


class HoldRecord(SQLModel, table=True):
    """A piece promised to a job, or lent without one. At most one has it at a time."""

    __tablename__: ClassVar[Any] = "hold"
    __table_args__ = (
        one_of("state", words.HOLD_STATES, "ck_hold_state"),
        Index(
            "ix_hold_piece",
            "piece_id",
            unique=True,
            sqlite_where=text("state IN ('held', 'out')"),
            postgresql_where=text("state IN ('held', 'out')"),
        ),
        Index("ix_hold_job", "job_id"),
    )

    id: int | None = Field(default=None, primary_key=True)
    job_id: int | None = Field(default=None, foreign_key="job.id")
    piece_id: int = Field(foreign_key="piece.id")
    spare: bool = False
    state: str = "held"
    holder: str = Field(default="", max_length=80)
    out_on: str = Field(default="", max_length=10)
    due_back: str = Field(default="", max_length=10)
    back_on: str = Field(default="", max_length=10)
    person_id: int = Field(foreign_key="person.id")
    made_at: str


class PaperRecord(SQLModel, table=True):
    """A stroke sheet that was printed, to be filled in by hand; its number leads its line codes."""

    __tablename__: ClassVar[Any] = "paper"

    id: int | None = Field(default=None, primary_key=True)
    title: str = Field(default="", max_length=200)
    person_id: int = Field(foreign_key="person.id")
    made_at: str


class PaperLineRecord(SQLModel, table=True):
    """One line of a printed sheet: what a count behind its code means."""

    __tablename__: ClassVar[Any] = "paper_line"
    __table_args__ = (
        *positive("paper_line", "line", "thickness_mm"),
        *not_negative("paper_line", "planned"),
    )

    paper_id: int = Field(foreign_key="paper.id", primary_key=True)
    line: int = Field(primary_key=True, gt=0)
    piece_id: int = Field(foreign_key="piece.id")
    with_piece_id: int | None = Field(default=None, foreign_key="piece.id")
    material: str = Field(default="", max_length=40)
    thickness_mm: float | None = Field(default=None, gt=0)
    job: str = Field(default="", max_length=60)
    planned: int | None = Field(default=None, ge=0)


class StrokeDraftRecord(SQLModel, table=True):
    """What somebody typed of a shift and has not counted yet, as JSON."""

    __tablename__: ClassVar[Any] = "stroke_draft"
    __table_args__ = (Index("ix_stroke_draft_person", "person_id"),)

    id: int | None = Field(default=None, primary_key=True)
    content: str = Field(sa_type=Text)
    person_id: int = Field(foreign_key="person.id")
    made_at: str
    changed_at: str


class PaperLinePieceRecord(SQLModel, table=True):
    """A piece that cuts with the one of a printed line."""

    __tablename__: ClassVar[Any] = "paper_line_piece"
    __table_args__ = positive("paper_line_piece", "line")

    paper_id: int = Field(foreign_key="paper.id", primary_key=True)
    line: int = Field(primary_key=True, gt=0)
    piece_id: int = Field(foreign_key="piece.id", primary_key=True)
