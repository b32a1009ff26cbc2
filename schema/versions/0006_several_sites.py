"""What several sites, a server and surer chances need.

Revision: 0006, after 0005.
"""

from __future__ import annotations

from collections.abc import Callable

import sqlalchemy as sa
from alembic import op
from alembic.operations import BatchOperations

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    for change, _back in _changes():
        change()


def downgrade() -> None:
    for _change, back in reversed(_changes()):
        back()


def _changes() -> tuple[tuple[Callable[[], None], Callable[[], None]], ...]:
    return (
        (_make_sites, _drop_sites),
        (_stand_at_sites, _stand_nowhere),
        (_know_ways, _ways_are_outside),
        (_buy_for_sites, _buy_for_nobody),
    )


def _make_sites() -> None:
    """The sites of a company; none in a crib of one shop."""
    op.create_table(
        "site",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=30), nullable=False),
        sa.Column("address", sa.String(length=200), nullable=False),
        sa.CheckConstraint("length(trim(name)) > 0", name="ck_site_name"),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("name"),
    )
    op.create_table(
        "site_days",
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("to_site_id", sa.Integer(), nullable=False),
        sa.Column("days", sa.Integer(), nullable=False),
        sa.CheckConstraint("site_id < to_site_id", name="ck_site_days_pair"),
        sa.CheckConstraint("days >= 0", name="ck_site_days_days"),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"]),
        sa.ForeignKeyConstraint(["to_site_id"], ["site.id"]),
        sa.PrimaryKeyConstraint("site_id", "to_site_id"),
    )
    op.create_table(
        "site_role",
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("role", sa.String(length=60), nullable=False),
        sa.Column("may", sa.String(length=200), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"]),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"]),
        sa.PrimaryKeyConstraint("person_id", "site_id"),
    )
    op.create_table(
        "site_rule",
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("value", sa.String(length=200), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("changed_at", sa.String(), nullable=False),
        sa.Column("why", sa.String(length=400), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"]),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"]),
        sa.PrimaryKeyConstraint("site_id", "key"),
    )


def _drop_sites() -> None:
    for table in ("site_rule", "site_role", "site_days", "site"):
        op.drop_table(table)


_AT_SITES = ("person", "machine", "device", "job")
_TEXTS = {"person": "may", "job": "closed_on"}


def _stand_at_sites() -> None:
    for table in _AT_SITES:
        with op.batch_alter_table(table) as batch:
            batch.add_column(_site(table, "site_id"))
            _as_it_was(batch, table)


def _stand_nowhere() -> None:
    for table in _AT_SITES:
        with op.batch_alter_table(table) as batch:
            batch.drop_column("site_id")
            _as_it_was(batch, table)


def _as_it_was(batch: BatchOperations, table: str) -> None:
    """Batch mode would write the default of text in brackets."""
    if table in _TEXTS:
        batch.alter_column(_TEXTS[table], server_default=sa.text("''"))


def _site(table: str, name: str) -> sa.Column[int]:
    key = sa.ForeignKey("site.id", name=f"fk_{table}_{name.removesuffix('_id')}")
    return sa.Column(name, sa.Integer(), key, nullable=True)


_SORTS = ("drawer", "station", "grinder", "person", "outside")


def _know_ways() -> None:
    """A place is at a site, or it is the way from one to another."""
    with op.batch_alter_table("place") as batch:
        batch.add_column(_site("place", "site_id"))
        batch.add_column(_site("place", "to_site_id"))
        batch.drop_constraint("ck_place_sort", type_="check")
        batch.create_check_constraint("ck_place_sort", sa.column("sort").in_((*_SORTS, "way")))
        batch.create_check_constraint(
            "ck_place_way", sa.text("(sort = 'way') = (to_site_id IS NOT NULL)")
        )
        batch.create_check_constraint("ck_place_to_site", sa.text("to_site_id <> site_id"))


def _ways_are_outside() -> None:
    """What is on the way is outside, which a crib without sites has too."""
    op.execute("UPDATE place SET sort = 'outside', to_site_id = NULL WHERE sort = 'way'")
    with op.batch_alter_table("place") as batch:
        for name in ("ck_place_way", "ck_place_to_site", "ck_place_sort"):
            batch.drop_constraint(name, type_="check")
        batch.create_check_constraint("ck_place_sort", sa.column("sort").in_(_SORTS))
        batch.drop_column("to_site_id")
        batch.drop_column("site_id")


_BOUGHT = {
    "want": ("struck_by", "struck_at", "struck_why"),
    "order_line": ("job", "specification"),
}
"""Tables of what is bought for a site, with their columns of text that are empty by default."""


def _buy_for_sites() -> None:
    for table, texts in _BOUGHT.items():
        with op.batch_alter_table(table) as batch:
            batch.add_column(_site(table, "site_id"))
            _texts_as_they_were(batch, texts)


def _buy_for_nobody() -> None:
    for table, texts in _BOUGHT.items():
        with op.batch_alter_table(table) as batch:
            batch.drop_column("site_id")
            _texts_as_they_were(batch, texts)


def _texts_as_they_were(batch: BatchOperations, texts: tuple[str, ...]) -> None:
    """Batch mode would write the default of text in brackets."""
    for name in texts:
        batch.alter_column(name, server_default=sa.text("''"))
