"""The crib's tables, declared once: columns, limits, keys.

The classes define the schema (Alembic compares itself with ``SQLModel.metadata``) and check a row
before it is stored: build one with ``KindRecord.model_validate({...})``, never with
``KindRecord(...)``, which does not look. Every limit stands again in the database as CHECK, UNIQUE
or a foreign key, but the greatest that a figure can be, which rows of before may be above.

Lengths are mm, forces N, stresses MPa, money integer cents; ``wear_milli`` is thousandths of a
weighted stroke, an integer so that sums are exact.
"""

from __future__ import annotations

from crib.stock.tables.buying import (
    BundleLineRecord,
    BundleRecord,
    OfferRecord,
    OrderLineRecord,
    PurchaseRecord,
    ReceiptRecord,
    SupplierRecord,
)
from crib.stock.tables.door import DeviceRecord, PairingCodeRecord, PinRecord
from crib.stock.tables.ledger import (
    EntryRecord,
    HoleMethodRecord,
    JobLineRecord,
    JobRecord,
    KeptKeyRecord,
    LedgerEndRecord,
    SheetRecord,
    ShopRuleRecord,
    WantRecord,
)
from crib.stock.tables.shelf import (
    EnvelopePointRecord,
    KindRecord,
    MachineRecord,
    MaterialRecord,
    PersonRecord,
    PieceRecord,
    PlaceRecord,
    SeatRecord,
    StationRecord,
    StationSeatRecord,
)
from crib.stock.tables.sites import (
    SiteDaysRecord,
    SiteRecord,
    SiteRoleRecord,
    SiteRuleRecord,
)
from crib.stock.tables.work import (
    HoldRecord,
    PaperLinePieceRecord,
    PaperLineRecord,
    PaperRecord,
    PlannedRunPieceRecord,
    PlannedRunRecord,
    StrokeDraftRecord,
)

__all__ = [
    "BundleLineRecord",
    "BundleRecord",
    "DeviceRecord",
    "EntryRecord",
    "EnvelopePointRecord",
    "HoldRecord",
    "HoleMethodRecord",
    "JobLineRecord",
    "JobRecord",
    "KeptKeyRecord",
    "KindRecord",
    "LedgerEndRecord",
    "MachineRecord",
    "MaterialRecord",
    "OfferRecord",
    "OrderLineRecord",
    "PairingCodeRecord",
    "PaperLinePieceRecord",
    "PaperLineRecord",
    "PaperRecord",
    "PersonRecord",
    "PieceRecord",
    "PinRecord",
    "PlaceRecord",
    "PlannedRunPieceRecord",
    "PlannedRunRecord",
    "PurchaseRecord",
    "ReceiptRecord",
    "SeatRecord",
    "SheetRecord",
    "ShopRuleRecord",
    "SiteDaysRecord",
    "SiteRecord",
    "SiteRoleRecord",
    "SiteRuleRecord",
    "StationRecord",
    "StationSeatRecord",
    "StrokeDraftRecord",
    "SupplierRecord",
    "WantRecord",
]
