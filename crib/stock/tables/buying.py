"""Tables of what can be bought and is on its way: offers, bundles, purchases, receipts."""

from __future__ import annotations

from typing import Any, ClassVar

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    Index,
    Integer,
    Text,
    UniqueConstraint,
    text,
)
from sqlmodel import Field, SQLModel

from crib import words
from crib.stock.tables.limits import EMPTY, not_negative, one_of, positive, site_column


class OfferRecord(SQLModel, table=True):
    """What a supplier asks for a kind, from a quantity up."""

    __tablename__: ClassVar[Any] = "offer"
    __table_args__ = (
        UniqueConstraint("kind_id", "supplier", "from_quantity", name="uq_offer"),
        *positive("offer", "pack_size", "from_quantity"),
        *not_negative("offer", "price_cents", "lead_days"),
    )

    id: int | None = Field(default=None, primary_key=True)
    kind_id: int = Field(foreign_key="kind.id")
    supplier: str = Field(min_length=1, max_length=80)
    pack_size: int = Field(default=1, gt=0)
    from_quantity: int = Field(default=1, gt=0)
    price_cents: int = Field(ge=0)
    lead_days: int | None = Field(default=None, ge=0)
    quoted_on: str = Field(default="", max_length=10)
    to_drawing: bool = Field(default=False, sa_column_kwargs={"server_default": text("0")})


class SupplierRecord(SQLModel, table=True):
    """Where a supplier is written to; commas stand between the lines of an address."""

    __tablename__: ClassVar[Any] = "supplier"
    __table_args__ = (CheckConstraint("length(trim(name)) > 0", name="ck_supplier_name"),)

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True, min_length=1, max_length=80)
    address: str = Field(default="", max_length=200)
    note: str = Field(default="", max_length=400)


class BundleRecord(SQLModel, table=True):
    """A package of kinds at one price."""

    __tablename__: ClassVar[Any] = "bundle"
    __table_args__ = (
        UniqueConstraint("supplier", "name", name="uq_bundle"),
        *not_negative("bundle", "price_cents"),
    )

    id: int | None = Field(default=None, primary_key=True)
    supplier: str = Field(min_length=1, max_length=80)
    name: str = Field(min_length=1, max_length=80)
    price_cents: int = Field(ge=0)
    lead_days: int | None = Field(default=None, ge=0)


class BundleLineRecord(SQLModel, table=True):
    """One kind of a package, and how many."""

    __tablename__: ClassVar[Any] = "bundle_line"
    __table_args__ = positive("bundle_line", "quantity")

    bundle_id: int = Field(foreign_key="bundle.id", primary_key=True)
    kind_id: int = Field(foreign_key="kind.id", primary_key=True)
    quantity: int = Field(default=1, gt=0)


class PurchaseRecord(SQLModel, table=True):
    """One order to one supplier, by its number."""

    __tablename__: ClassVar[Any] = "purchase"
    __table_args__ = (
        CheckConstraint("length(trim(number)) > 0", name="ck_purchase_number"),
        one_of("state", words.PURCHASE_STATES, "ck_purchase_state"),
    )

    id: int | None = Field(default=None, primary_key=True)
    number: str = Field(unique=True, min_length=1, max_length=40)
    supplier: str = Field(min_length=1, max_length=80)
    made_on: str = Field(min_length=10, max_length=10)
    needed_by: str = Field(default="", max_length=10)
    state: str = "open"
    note: str = Field(default="", max_length=400)
    person_id: int = Field(foreign_key="person.id")
    made_at: str


class OrderLineRecord(SQLModel, table=True):
    """Something ordered: how many, from whom, how many have come.

    ``text`` is what the supplier reads; ``specification`` the same tool in figures, as JSON. In a
    company of several sites it is to be delivered at one of them.
    """

    __tablename__: ClassVar[Any] = "order_line"
    __table_args__ = (
        *positive("order_line", "quantity"),
        *not_negative("order_line", "received", "price_cents"),
        CheckConstraint("received <= quantity", name="ck_order_line_whole"),
    )

    id: int | None = Field(default=None, primary_key=True)
    kind_id: int | None = Field(default=None, foreign_key="kind.id", index=True)
    text: str = Field(min_length=1, max_length=1000)
    supplier: str = Field(default="", max_length=80)
    quantity: int = Field(gt=0)
    received: int = Field(default=0, ge=0)
    price_cents: int | None = Field(default=None, ge=0)
    ordered_on: str = Field(default="", max_length=10)
    needed_by: str = Field(default="", max_length=10)
    open: bool = True
    purchase_id: int | None = Field(
        default=None,
        sa_column=Column(
            Integer, ForeignKey("purchase.id", name="fk_order_line_purchase"), index=True
        ),
    )
    job: str = Field(default="", max_length=60, sa_column_kwargs=EMPTY)
    specification: str = Field(default="", max_length=4000, sa_type=Text, sa_column_kwargs=EMPTY)
    site_id: int | None = Field(default=None, sa_column=site_column("order_line"))


class ReceiptRecord(SQLModel, table=True):
    """What came of an order line, and when; below nothing is what went back."""

    __tablename__: ClassVar[Any] = "receipt"
    __table_args__ = (
        CheckConstraint("quantity <> 0", name="ck_receipt_quantity"),
        *not_negative("receipt", "lead_days", "price_cents"),
        Index("ix_receipt_order_line", "order_line_id"),
    )

    id: int | None = Field(default=None, primary_key=True)
    order_line_id: int = Field(foreign_key="order_line.id")
    quantity: int
    received_on: str = Field(min_length=10, max_length=10)
    lead_days: int | None = Field(default=None, ge=0)
    price_cents: int | None = Field(default=None, ge=0)
    act: str = Field(default="", max_length=32)
    note: str = Field(default="", max_length=400)
    person_id: int = Field(foreign_key="person.id")
    made_at: str
