"""The crib's tables, declared once: columns, limits, keys.

The classes define the schema (Alembic compares itself with ``SQLModel.metadata``) and check a row
before it is stored: build one with ``Kind.model_validate({...})``, never with ``Kind(...)``, which
does not look. Every limit stands again in the database as CHECK, UNIQUE or a foreign key.

Lengths are mm, forces N, stresses MPa, money integer cents; ``wear_milli`` is thousandths of a
weighted stroke, an integer so that sums are exact.
"""

from __future__ import annotations

from crib.stock.tables.buying import Bundle, BundleLine, Offer, OrderLine, Purchase, Receipt
from crib.stock.tables.ledger import Entry, HoleMethod, Job, JobLine, Sheet, ShopRule, Want
from crib.stock.tables.shelf import (
    EnvelopePoint,
    Kind,
    Machine,
    Person,
    Piece,
    Place,
    Seat,
    Station,
    StationSeat,
)
from crib.stock.tables.work import Hold, Paper, PaperLine, PlannedRun

__all__ = [
    "Bundle",
    "BundleLine",
    "Entry",
    "EnvelopePoint",
    "Hold",
    "HoleMethod",
    "Job",
    "JobLine",
    "Kind",
    "Machine",
    "Offer",
    "OrderLine",
    "Paper",
    "PaperLine",
    "Person",
    "Piece",
    "Place",
    "PlannedRun",
    "Purchase",
    "Receipt",
    "Seat",
    "Sheet",
    "ShopRule",
    "Station",
    "StationSeat",
    "Want",
]
