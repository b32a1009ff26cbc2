"""Tables of a company's sites: the days between them, who is what there, rules of their own.

A crib without a row in ``site`` has no sites. One with sites has every place and machine at one.
"""

from __future__ import annotations

from typing import Any, ClassVar

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from crib.stock.tables.limits import not_negative

LONGEST_SITE = 30
MOST_DAYS_BETWEEN = 100


class SiteRecord(SQLModel, table=True):
    """A site of the company, the root of places and machines; commas part its address's lines."""

    __tablename__: ClassVar[Any] = "site"
    __table_args__ = (CheckConstraint("length(trim(name)) > 0", name="ck_site_name"),)

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True, min_length=1, max_length=LONGEST_SITE)
    address: str = Field(default="", max_length=200)


class SiteDaysRecord(SQLModel, table=True):
    """How many days are between two sites, where the shop's rule for all does not hold.

    A pair stands once, the site with the lower number first.
    """

    __tablename__: ClassVar[Any] = "site_days"
    __table_args__ = (
        CheckConstraint("site_id < to_site_id", name="ck_site_days_pair"),
        *not_negative("site_days", "days"),
    )

    site_id: int = Field(foreign_key="site.id", primary_key=True)
    to_site_id: int = Field(foreign_key="site.id", primary_key=True)
    days: int = Field(ge=0, le=MOST_DAYS_BETWEEN)


class SiteRoleRecord(SQLModel, table=True):
    """What somebody is and may do at one site, instead of what they are and may elsewhere."""

    __tablename__: ClassVar[Any] = "site_role"

    person_id: int = Field(foreign_key="person.id", primary_key=True)
    site_id: int = Field(foreign_key="site.id", primary_key=True)
    role: str = Field(default="", max_length=60)
    may: str = Field(default="", max_length=200)


class SiteRuleRecord(SQLModel, table=True):
    """A setting that one site has otherwise than the company."""

    __tablename__: ClassVar[Any] = "site_rule"

    site_id: int = Field(foreign_key="site.id", primary_key=True)
    key: str = Field(primary_key=True, max_length=80)
    value: str = Field(max_length=200)
    person_id: int = Field(foreign_key="person.id")
    changed_at: str
    why: str = Field(default="", max_length=400)
