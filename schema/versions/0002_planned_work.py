"""Work that is planned, purchases and what came of them, and what a kind's edges taught.

Revision: 0002, after 0001.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def _columns() -> Iterator[tuple[str, sa.Column[Any], str]]:
    """Table, new column, and what must hold of it."""
    yield from (
        ("job", sa.Column("run_order", sa.Integer(), nullable=True), "run_order > 0"),
        (
            "job",
            sa.Column("closed_on", sa.String(10), server_default=sa.text("''"), nullable=False),
            "",
        ),
        (
            "job_line",
            sa.Column("per_part", sa.Integer(), server_default=sa.text("1"), nullable=False),
            "per_part > 0",
        ),
        ("kind", sa.Column("learned_strokes", sa.Integer(), nullable=True), "learned_strokes > 0"),
        ("seat", sa.Column("nut_diameter_mm", sa.Float(), nullable=True), "nut_diameter_mm > 0"),
        (
            "offer",
            sa.Column("to_drawing", sa.Boolean(), server_default=sa.text("0"), nullable=False),
            "",
        ),
        (
            "order_line",
            sa.Column(
                "purchase_id",
                sa.Integer(),
                sa.ForeignKey("purchase.id", name="fk_order_line_purchase"),
                nullable=True,
            ),
            "",
        ),
        (
            "order_line",
            sa.Column("job", sa.String(60), server_default=sa.text("''"), nullable=False),
            "",
        ),
    )


def upgrade() -> None:

    op.create_table(
        "paper",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_table(
        "purchase",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(length=40), nullable=False),
        sa.Column("supplier", sa.String(length=80), nullable=False),
        sa.Column("made_on", sa.String(length=10), nullable=False),
        sa.Column("needed_by", sa.String(length=10), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("note", sa.String(length=400), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.CheckConstraint("state IN ('open', 'closed', 'cancelled')", name="ck_purchase_state"),
        sa.CheckConstraint("length(trim(number)) > 0", name="ck_purchase_number"),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("number"),
    )
    op.create_table(
        "receipt",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("order_line_id", sa.Integer(), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("received_on", sa.String(length=10), nullable=False),
        sa.Column("lead_days", sa.Integer(), nullable=True),
        sa.Column("price_cents", sa.Integer(), nullable=True),
        sa.Column("act", sa.String(length=32), nullable=False),
        sa.Column("note", sa.String(length=400), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.CheckConstraint("lead_days >= 0", name="ck_receipt_lead_days"),
        sa.CheckConstraint("price_cents >= 0", name="ck_receipt_price_cents"),
        sa.CheckConstraint("quantity <> 0", name="ck_receipt_quantity"),
        sa.ForeignKeyConstraint(
            ["order_line_id"],
            ["order_line.id"],
        ),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("receipt", schema=None) as batch_op:
        batch_op.create_index("ix_receipt_order_line", ["order_line_id"], unique=False)

    op.create_table(
        "hold",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=True),
        sa.Column("piece_id", sa.Integer(), nullable=False),
        sa.Column("spare", sa.Boolean(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("holder", sa.String(length=80), nullable=False),
        sa.Column("out_on", sa.String(length=10), nullable=False),
        sa.Column("due_back", sa.String(length=10), nullable=False),
        sa.Column("back_on", sa.String(length=10), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.CheckConstraint("state IN ('held', 'out', 'back', 'released')", name="ck_hold_state"),
        sa.ForeignKeyConstraint(
            ["job_id"],
            ["job.id"],
        ),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
        ),
        sa.ForeignKeyConstraint(
            ["piece_id"],
            ["piece.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("hold", schema=None) as batch_op:
        batch_op.create_index("ix_hold_job", ["job_id"], unique=False)
        batch_op.create_index(
            "ix_hold_piece",
            ["piece_id"],
            unique=True,
            sqlite_where=sa.text("state IN ('held', 'out')"),
        )

    op.create_table(
        "paper_line",
        sa.Column("paper_id", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("piece_id", sa.Integer(), nullable=False),
        sa.Column("with_piece_id", sa.Integer(), nullable=True),
        sa.Column("material", sa.String(length=40), nullable=False),
        sa.Column("thickness_mm", sa.Float(), nullable=True),
        sa.Column("job", sa.String(length=60), nullable=False),
        sa.Column("planned", sa.Integer(), nullable=True),
        sa.CheckConstraint("line > 0", name="ck_paper_line_line"),
        sa.CheckConstraint("planned >= 0", name="ck_paper_line_planned"),
        sa.CheckConstraint("thickness_mm > 0", name="ck_paper_line_thickness_mm"),
        sa.ForeignKeyConstraint(
            ["paper_id"],
            ["paper.id"],
        ),
        sa.ForeignKeyConstraint(
            ["piece_id"],
            ["piece.id"],
        ),
        sa.ForeignKeyConstraint(
            ["with_piece_id"],
            ["piece.id"],
        ),
        sa.PrimaryKeyConstraint("paper_id", "line"),
    )
    op.create_table(
        "planned_run",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.Column("station_id", sa.Integer(), nullable=False),
        sa.Column("piece_id", sa.Integer(), nullable=False),
        sa.Column("with_piece_id", sa.Integer(), nullable=True),
        sa.Column("mark", sa.String(length=60), nullable=False),
        sa.Column("phrase", sa.String(length=200), nullable=False),
        sa.Column("material", sa.String(length=40), nullable=False),
        sa.Column("thickness_mm", sa.Float(), nullable=True),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("strokes", sa.Integer(), nullable=False),
        sa.Column("weighted_milli", sa.Integer(), nullable=False),
        sa.Column("logged", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.CheckConstraint("logged >= 0", name="ck_planned_run_logged"),
        sa.CheckConstraint("quantity > 0", name="ck_planned_run_quantity"),
        sa.CheckConstraint("sequence > 0", name="ck_planned_run_sequence"),
        sa.CheckConstraint("strokes > 0", name="ck_planned_run_strokes"),
        sa.CheckConstraint("thickness_mm > 0", name="ck_planned_run_thickness_mm"),
        sa.CheckConstraint("weighted_milli >= 0", name="ck_planned_run_weighted_milli"),
        sa.ForeignKeyConstraint(
            ["job_id"],
            ["job.id"],
        ),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
        ),
        sa.ForeignKeyConstraint(
            ["piece_id"],
            ["piece.id"],
        ),
        sa.ForeignKeyConstraint(
            ["station_id"],
            ["station.id"],
        ),
        sa.ForeignKeyConstraint(
            ["with_piece_id"],
            ["piece.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("job_id", "sequence", name="uq_planned_run"),
    )
    with op.batch_alter_table("planned_run", schema=None) as batch_op:
        batch_op.create_index("ix_planned_run_piece", ["piece_id"], unique=False)
        batch_op.create_index("ix_planned_run_with", ["with_piece_id"], unique=False)

    # First: a table that is made anew writes the default of a column in other signs.
    _retype_order_text(sa.String(400), sa.String(1000))
    for table, column, holds in _columns():
        with op.batch_alter_table(table, recreate="always") as batch:
            batch.add_column(column)
            if holds:
                batch.create_check_constraint(f"ck_{table}_{column.name}", holds)
    op.create_index("ix_order_line_purchase_id", "order_line", ["purchase_id"])


def _retype_order_text(was: sa.String, becomes: sa.String) -> None:
    with op.batch_alter_table("order_line", recreate="always") as batch:
        batch.alter_column("text", existing_type=was, type_=becomes, existing_nullable=False)


def downgrade() -> None:
    op.drop_index("ix_order_line_purchase_id", "order_line")
    for table, column, holds in reversed(list(_columns())):
        with op.batch_alter_table(table, recreate="always") as batch:
            if holds:
                batch.drop_constraint(f"ck_{table}_{column.name}", type_="check")
            batch.drop_column(column.name)
    _retype_order_text(sa.String(1000), sa.String(400))
    with op.batch_alter_table("planned_run", schema=None) as batch_op:
        batch_op.drop_index("ix_planned_run_with")
        batch_op.drop_index("ix_planned_run_piece")

    op.drop_table("planned_run")
    op.drop_table("paper_line")
    with op.batch_alter_table("hold", schema=None) as batch_op:
        batch_op.drop_index("ix_hold_piece", sqlite_where=sa.text("state IN ('held', 'out')"))
        batch_op.drop_index("ix_hold_job")

    op.drop_table("hold")
    with op.batch_alter_table("receipt", schema=None) as batch_op:
        batch_op.drop_index("ix_receipt_order_line")

    op.drop_table("receipt")
    op.drop_table("purchase")
    op.drop_table("paper")
