"""Tables of the page's door: devices that were let in, the code for the next one, people's PINs.

What is kept of a secret is its hash. None of it goes out with an export, but who was let in when.
"""

from __future__ import annotations

from typing import Any, ClassVar

from sqlalchemy import CheckConstraint, Index, text
from sqlmodel import Field, SQLModel

from crib import words
from crib.stock.tables.limits import not_negative, one_of, site_column


class DeviceRecord(SQLModel, table=True):
    """A browser or a program that was let in; one taken in from an export has no token.

    ``site_id`` is where it stands.
    """

    __tablename__: ClassVar[Any] = "device"
    __table_args__ = (
        CheckConstraint("length(trim(name)) > 0", name="ck_device_name"),
        one_of("sort", words.DEVICE_SORTS, "ck_device_sort"),
        one_of("may", words.DEVICE_RIGHTS, "ck_device_may"),
        Index(
            "ix_device_name",
            "name",
            unique=True,
            sqlite_where=text("revoked_at = ''"),
            postgresql_where=text("revoked_at = ''"),
        ),
    )

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(min_length=1, max_length=60)
    sort: str = "browser"
    may: str = "all"
    token_hash: str = Field(default="", max_length=64)
    person_id: int = Field(foreign_key="person.id")
    paired_at: str
    revoked_at: str = ""
    site_id: int | None = Field(default=None, sa_column=site_column("device"))


class PairingCodeRecord(SQLModel, table=True):
    """The code that lets the next device in: at most one, gone when it is used or tried too often.

    ``expires_s`` counts from 1970, as the clock of the machine does.
    """

    __tablename__: ClassVar[Any] = "pairing_code"
    __table_args__ = (
        *not_negative("pairing_code", "tries_left"),
        one_of("may", words.DEVICE_RIGHTS, "ck_pairing_code_may"),
    )

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(default="", max_length=60)
    may: str = "all"
    code_hash: str = Field(min_length=1, max_length=200)
    tries_left: int = Field(ge=0)
    expires_s: float
    person_id: int = Field(foreign_key="person.id")


class PinRecord(SQLModel, table=True):
    """A person's PIN for the page: its hash, wrong tries since the last right one, the wait."""

    __tablename__: ClassVar[Any] = "pin"
    __table_args__ = not_negative("pin", "wrong")

    person_id: int = Field(foreign_key="person.id", primary_key=True)
    pin_hash: str = Field(min_length=1, max_length=200)
    wrong: int = Field(default=0, ge=0)
    wait_until_s: float = 0.0
