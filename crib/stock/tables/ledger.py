"""Tables of what happened and was asked: jobs, sheets, the ledger, wants, changed rules."""

from __future__ import annotations

from typing import Any, ClassVar

from sqlalchemy import CheckConstraint, Index, Text, UniqueConstraint, text
from sqlmodel import Field, SQLModel

from crib import words
from crib.stock.tables.limits import EMPTY, not_negative, one_of, positive, site_column


class JobRecord(SQLModel, table=True):
    """A job with its parts; ``site_id`` is where it is made."""

    __tablename__: ClassVar[Any] = "job"
    __table_args__ = (
        CheckConstraint("length(trim(name)) > 0", name="ck_job_name"),
        *positive("job", "run_order"),
    )

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True, min_length=1, max_length=60)
    due_on: str = Field(default="", max_length=10)
    open: bool = True
    note: str = Field(default="", max_length=400)
    run_order: int | None = Field(default=None, gt=0)
    closed_on: str = Field(default="", max_length=10, sa_column_kwargs=EMPTY)
    site_id: int | None = Field(default=None, sa_column=site_column("job"))


class JobLineRecord(SQLModel, table=True):
    """One feature of a job, and how many; ``per_part`` of them are in each part."""

    __tablename__: ClassVar[Any] = "job_line"
    __table_args__ = positive("job_line", "quantity", "per_part")

    id: int | None = Field(default=None, primary_key=True)
    job_id: int = Field(foreign_key="job.id", index=True)
    mark: str = Field(default="", max_length=60)
    phrase: str = Field(min_length=1, max_length=200)
    quantity: int = Field(default=1, gt=0)
    per_part: int = Field(default=1, gt=0, sa_column_kwargs={"server_default": text("1")})


class SheetRecord(SQLModel, table=True):
    """A stroke sheet that was taken, by its content: taking it twice counts once."""

    __tablename__: ClassVar[Any] = "sheet"
    __table_args__ = not_negative("sheet", "lines")

    id: int | None = Field(default=None, primary_key=True)
    digest: str = Field(unique=True, min_length=64, max_length=64)
    name: str = Field(default="", max_length=200)
    lines: int = Field(default=0, ge=0)
    act: str = Field(min_length=1, max_length=32)
    person_id: int = Field(foreign_key="person.id")
    made_at: str


class EntryRecord(SQLModel, table=True):
    """One line of the ledger. It is never changed and never erased.

    ``factors`` is a JSON object: what the weight of one stroke is the product of. ``subject`` is
    the key of what the entry is about (see ``stock.book.subjects``); ``note`` is for people.
    ``seal`` tells whether it is as it was written (see ``stock.book.seals``).
    """

    __tablename__: ClassVar[Any] = "entry"
    __table_args__ = (
        one_of("action", words.ACTIONS, "ck_entry_action"),
        CheckConstraint(
            "(action = 'reverse') = (reverses_id IS NOT NULL)", name="ck_entry_reverse"
        ),
        CheckConstraint(
            "action <> 'strokes' OR (piece_id IS NOT NULL AND quantity > 0)",
            name="ck_entry_strokes",
        ),
        one_of("found", words.FOUND, "ck_entry_found"),
        *not_negative("entry", "quantity", "weighted_milli", "strokes_edge", "ground_um"),
        *positive("entry", "thickness_mm", "length_mm", "measured_width_mm", "measured_long_mm"),
        Index("ix_entry_piece", "piece_id", "made_at"),
        Index(
            *("ix_entry_placed", "piece_id", "shift_on", "id"),
            sqlite_where=text("place_id IS NOT NULL"),
            postgresql_where=text("place_id IS NOT NULL"),
        ),
        Index("ix_entry_act", "act"),
        Index("ix_entry_person", "person_id"),
    )

    id: int | None = Field(default=None, primary_key=True)
    act: str = Field(min_length=1, max_length=32)
    action: str
    piece_id: int | None = Field(default=None, foreign_key="piece.id")
    person_id: int = Field(foreign_key="person.id")
    made_at: str
    shift_on: str
    quantity: int = Field(default=0, ge=0)
    weighted_milli: int = Field(default=0, ge=0)
    strokes_edge: int = Field(default=0, ge=0)
    severity: float | None = None
    estimate: bool = False
    material: str = Field(default="", max_length=40)
    thickness_mm: float | None = Field(default=None, gt=0)
    job: str = Field(default="", max_length=60)
    place_id: int | None = Field(default=None, foreign_key="place.id")
    condition: str | None = None
    length_mm: float | None = Field(default=None, gt=0)
    ground_um: int = Field(default=0, ge=0)
    measured_width_mm: float | None = Field(default=None, gt=0)
    measured_long_mm: float | None = Field(default=None, gt=0)
    edge: int | None = None
    acknowledged: str | None = None
    found: str | None = None
    note: str = Field(default="", max_length=400)
    reverses_id: int | None = Field(default=None, foreign_key="entry.id", unique=True)
    factors: str = Field(default="", max_length=400, sa_type=Text, sa_column_kwargs=EMPTY)
    subject: str = Field(default="", max_length=80, sa_type=Text, sa_column_kwargs=EMPTY)
    seal: str = Field(default="", max_length=32, sa_type=Text, sa_column_kwargs=EMPTY)


class LedgerEndRecord(SQLModel, table=True):
    """Where the ledger ends, in one row: its newest entry and that one's seal."""

    __tablename__: ClassVar[Any] = "ledger_end"
    __table_args__ = not_negative("ledger_end", "entry_id")

    id: int | None = Field(default=None, primary_key=True)
    entry_id: int = Field(default=0, ge=0)
    seal: str = Field(default="", max_length=32)


class KeptKeyRecord(SQLModel, table=True):
    """A request that was made with a key, so that it counts once however often it is sent.

    ``request`` is for people, ``digest`` tells it from every other; ``answer`` is a door's own
    text, given again to whoever sends it again. ``act`` is empty where the ledger got nothing.
    """

    __tablename__: ClassVar[Any] = "kept_key"
    __table_args__ = (CheckConstraint("length(trim(key)) > 0", name="ck_kept_key_key"),)

    key: str = Field(primary_key=True, min_length=1, max_length=80)
    command: str = Field(min_length=1, max_length=40)
    request: str = Field(default="", max_length=400)
    digest: str = Field(min_length=64, max_length=64)
    act: str = Field(default="", max_length=32)
    answer: str = Field(default="", sa_type=Text)
    person_id: int = Field(foreign_key="person.id")
    made_at: str


class WantRecord(SQLModel, table=True):
    """An ask that the crib could not serve, once for each ask and job.

    ``struck_by`` is the badge name of who struck it out last; it stays when it is asked again.
    """

    __tablename__: ClassVar[Any] = "want"
    __table_args__ = (
        UniqueConstraint("ask", "job", name="uq_want_ask_job"),
        *positive("want", "quantity", "times_asked"),
        one_of("status", words.WANT_STATES, "ck_want_status"),
    )

    id: int | None = Field(default=None, primary_key=True)
    ask: str = Field(min_length=1, max_length=200)
    job: str = Field(default="", max_length=60)
    quantity: int = Field(default=1, gt=0)
    times_asked: int = Field(default=1, gt=0)
    person_id: int = Field(foreign_key="person.id")
    first_at: str
    last_at: str
    missing: str = ""
    done_instead: str = Field(default="", max_length=200)
    status: str = "open"
    struck_by: str = Field(default="", max_length=60, sa_type=Text, sa_column_kwargs=EMPTY)
    struck_at: str = Field(default="", sa_type=Text, sa_column_kwargs=EMPTY)
    struck_why: str = Field(default="", max_length=400, sa_type=Text, sa_column_kwargs=EMPTY)
    site_id: int | None = Field(default=None, sa_column=site_column("want"))


class HoleMethodRecord(SQLModel, table=True):
    """How a job's hole is made by its code: the latest word for each job, ask and code.

    ``punched_mm`` is the punch that was picked, ``finished_mm`` the hole's own size.
    """

    __tablename__: ClassVar[Any] = "hole_method"
    __table_args__ = (
        UniqueConstraint("job", "ask", "code", name="uq_hole_method"),
        CheckConstraint("length(trim(job)) > 0", name="ck_hole_method_job"),
        one_of("ruling", words.RULINGS, "ck_hole_method_ruling"),
        *positive("hole_method", "finished_mm", "punched_mm"),
    )

    id: int | None = Field(default=None, primary_key=True)
    job: str = Field(min_length=1, max_length=60)
    ask: str = Field(min_length=1, max_length=200)
    code: str = Field(min_length=1, max_length=40)
    ruling: str
    chosen: str = Field(default="", max_length=80)
    text: str = Field(default="", max_length=400)
    person_id: int = Field(foreign_key="person.id")
    first_at: str
    last_at: str
    finished_mm: float | None = Field(default=None, gt=0)
    punched_mm: float | None = Field(default=None, gt=0)
    tools: str = Field(default="", max_length=200, sa_type=Text, sa_column_kwargs=EMPTY)


class ShopRuleRecord(SQLModel, table=True):
    """A setting that the shop changed from its default."""

    __tablename__: ClassVar[Any] = "shop_rule"

    key: str = Field(primary_key=True, max_length=80)
    value: str = Field(max_length=200)
    person_id: int = Field(foreign_key="person.id")
    changed_at: str
    why: str = Field(default="", max_length=400)
