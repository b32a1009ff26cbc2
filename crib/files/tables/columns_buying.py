"""Columns of what can be bought and is on its way: offers, bundles, orders, receipts."""

from __future__ import annotations

from crib import words
from crib.files.tables.table_shape import Column, Table

_SUPPLIER = Column(
    "supplier",
    "supplier",
    "Who sells it.",
    "North Street Tool",
    "name",
    needed=True,
    aliases=("vendor",),
)
_KIND = Column(
    "kind",
    "kind_id",
    "The name of the kind.",
    "round punch 13/16 in, seat A",
    "reference",
    needed=True,
    of="kinds",
)
_LEAD_DAYS = Column(
    "lead days",
    "lead_days",
    "Days from order to delivery.",
    "5",
    "count",
    aliases=("lead time", "delivery days"),
)

_WHO = Column("person", "person_id", "Who.", "bench 2", "reference", needed=True, of="people")

SUPPLIERS = Table(
    "suppliers",
    "supplier",
    "Where suppliers are written to.",
    key=("name",),
    aliases=("supplier", "vendors", "addresses"),
    changeable=True,
    columns=(
        Column(
            "name", "name", "What it is called.", "North Street Tool", "name", True, ("supplier",)
        ),
        Column(
            "address",
            "address",
            "Where it is; commas between the lines.",
            "12 North Street, 99999 Anytown",
            "text",
            blank="",
        ),
        Column("note", "note", "Anything to know.", "", "text", blank=""),
    ),
)

OFFERS = Table(
    "offers",
    "offer",
    "What a supplier asks for a kind, from a quantity up.",
    key=("kind", "supplier", "from quantity"),
    aliases=("offer", "prices", "price list"),
    changeable=True,
    columns=(
        _KIND,
        _SUPPLIER,
        Column(
            "from quantity",
            "from_quantity",
            "The price holds from this many; an empty cell is 1.",
            "1",
            "count",
            blank=1,
            aliases=("from", "from qty", "break"),
        ),
        Column(
            "pack size",
            "pack_size",
            "How many come together; an empty cell is 1.",
            "1",
            "count",
            blank=1,
            aliases=("pack",),
        ),
        Column(
            "price",
            "price_cents",
            "Price of one.",
            "38.50",
            "money",
            needed=True,
            aliases=("cost",),
        ),
        _LEAD_DAYS,
        Column(
            "quoted on",
            "quoted_on",
            "The day of the quotation.",
            "2026-03-02",
            "date",
            blank="",
            aliases=("quoted", "date"),
        ),
        Column(
            "to drawing",
            "to_drawing",
            "Whether it is made to a drawing; an empty cell is no.",
            "no",
            "yes/no",
            blank=False,
            aliases=("special",),
        ),
    ),
)

BUNDLES = Table(
    "bundles",
    "bundle",
    "Packages of kinds at one price.",
    key=("supplier", "name"),
    aliases=("bundle", "packages"),
    changeable=True,
    columns=(
        _SUPPLIER,
        Column(
            "name",
            "name",
            "The package's name.",
            "starter set",
            "name",
            True,
            ("bundle", "package"),
        ),
        Column(
            "price",
            "price_cents",
            "Price of the package.",
            "420.00",
            "money",
            needed=True,
            aliases=("cost",),
        ),
        _LEAD_DAYS,
    ),
)

BUNDLE_LINES = Table(
    "bundle_lines",
    "bundle_line",
    "What is in a package.",
    key=("bundle", "kind"),
    aliases=("bundle line", "package lines"),
    changeable=True,
    columns=(
        Column(
            "bundle",
            "bundle_id",
            "The package, as supplier / name.",
            "North Street Tool / starter set",
            "reference",
            needed=True,
            of="bundles",
            aliases=("package",),
        ),
        _KIND,
        Column(
            "quantity",
            "quantity",
            "How many of it; an empty cell is 1.",
            "2",
            "count",
            blank=1,
            aliases=("qty", "count"),
        ),
    ),
)

PURCHASES = Table(
    "purchases",
    "purchase",
    "Orders to suppliers, by their numbers; their lines stand in orders.",
    key=("number",),
    aliases=("purchase", "purchase orders"),
    only_whole=True,
    columns=(
        Column("number", "number", "The order's number.", "2026-0007", "name", needed=True),
        _SUPPLIER,
        Column("made on", "made_on", "The day it was made.", "", "date", needed=True),
        Column("needed by", "needed_by", "The day it is needed.", "", "date", blank=""),
        Column(
            "state",
            "state",
            "An empty cell is open.",
            "open",
            "choice",
            choices=words.PURCHASE_STATES,
            blank="open",
        ),
        Column("note", "note", "Anything worth knowing.", blank=""),
        _WHO,
        Column("made at", "made_at", "When it was written.", "", "moment", needed=True),
    ),
)

ORDERS = Table(
    "orders",
    "order_line",
    "What is ordered, and how much of it has come.",
    aliases=("order", "order lines"),
    columns=(
        Column(
            "text",
            "text",
            "The order line as the supplier gets it.",
            "1 round punch 13/16 in, seat A, keyed",
            needed=True,
            aliases=("order", "description"),
        ),
        Column("kind", "kind_id", "The kind, when the crib has it.", "", "reference", of="kinds"),
        Column("supplier", "supplier", "Who it is ordered from.", "", "name", blank=""),
        Column(
            "quantity",
            "quantity",
            "How many are ordered.",
            "1",
            "count",
            needed=True,
            aliases=("qty", "count"),
        ),
        Column(
            "received",
            "received",
            "How many have come; an empty cell is 0.",
            "0",
            "count",
            blank=0,
        ),
        Column("price", "price_cents", "Price of one.", "38.50", "money", aliases=("cost",)),
        Column("ordered on", "ordered_on", "The day of the order.", "2026-03-02", "date", blank=""),
        Column("needed by", "needed_by", "The day it is needed.", "", "date", blank=""),
        Column(
            "open",
            "open",
            "Whether more is to come; an empty cell is yes.",
            "yes",
            "yes/no",
            blank=True,
        ),
        Column("job", "job", "The job it is for.", "", "name", blank=""),
        Column(
            "purchase",
            "purchase_id",
            "The number of the order it belongs to; only in a full export.",
            "",
            "reference",
            of="purchases",
            whole_only=True,
        ),
        Column(
            "line number",
            "id",
            "Its own number, for receipts; only in a full export.",
            "",
            "count",
            whole_only=True,
        ),
        Column(
            "specification",
            "specification",
            "The tool in figures, as JSON; only in a full export.",
            "",
            blank="",
            whole_only=True,
        ),
        Column("site", "site_id", "Where it is delivered.", "North", "reference", of="sites"),
    ),
)

RECEIPTS = Table(
    "receipts",
    "receipt",
    "What came of each order line, and what went back.",
    aliases=("receipt", "deliveries"),
    only_whole=True,
    columns=(
        Column("line number", "order_line_id", "The order's line.", "1", "count", needed=True),
        Column("quantity", "quantity", "How many; below 0 went back.", "1", "change", needed=True),
        Column("received on", "received_on", "The day.", "", "date", needed=True),
        Column("lead days", "lead_days", "Days since the order.", "", "count"),
        Column("price", "price_cents", "Price of one.", "", "money"),
        Column("act", "act", "The act of its pieces in the ledger.", "", blank=""),
        Column("note", "note", "Anything worth knowing.", "", blank=""),
        _WHO,
        Column("made at", "made_at", "When it was written.", "", "moment", needed=True),
    ),
)

BUYING = (SUPPLIERS, OFFERS, BUNDLES, BUNDLE_LINES, PURCHASES, ORDERS, RECEIPTS)
