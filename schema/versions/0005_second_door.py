"""What the page at the window, finer drawings and several sites need.

Revision: 0005, after 0004.
"""

from __future__ import annotations

from collections.abc import Callable

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
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
        (_make_devices, _drop_devices),
        (_make_codes, _drop_codes),
        (_make_pins, _drop_pins),
        (_limit_people, _people_may_all),
        (_cover_measured, _measured_by_width),
        (_round_corners, _corners_are_sharp),
    )


def _make_devices() -> None:
    """Browsers and programs that the page let in."""
    op.create_table(
        "device",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("sort", sa.String(), nullable=False),
        sa.Column("may", sa.String(), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("paired_at", sa.String(), nullable=False),
        sa.Column("revoked_at", sa.String(), nullable=False),
        sa.CheckConstraint("length(trim(name)) > 0", name="ck_device_name"),
        sa.CheckConstraint("sort IN ('browser', 'program')", name="ck_device_sort"),
        sa.CheckConstraint("may IN ('all', 'look')", name="ck_device_may"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index(
        "ix_device_name",
        "device",
        ["name"],
        unique=True,
        sqlite_where=sa.text("revoked_at = ''"),
        postgresql_where=sa.text("revoked_at = ''"),
    )


def _drop_devices() -> None:
    op.drop_table("device")


def _make_codes() -> None:
    """The code that lets the next device in."""
    op.create_table(
        "pairing_code",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("may", sa.String(), nullable=False),
        sa.Column("code_hash", sa.String(length=200), nullable=False),
        sa.Column("tries_left", sa.Integer(), nullable=False),
        sa.Column("expires_s", sa.Float(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("tries_left >= 0", name="ck_pairing_code_tries_left"),
        sa.CheckConstraint("may IN ('all', 'look')", name="ck_pairing_code_may"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"]),
        sa.PrimaryKeyConstraint("id"),
    )


def _drop_codes() -> None:
    op.drop_table("pairing_code")


def _make_pins() -> None:
    """People's PINs for the page, hashed, with the wait after wrong tries."""
    op.create_table(
        "pin",
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("pin_hash", sa.String(length=200), nullable=False),
        sa.Column("wrong", sa.Integer(), nullable=False),
        sa.Column("wait_until_s", sa.Float(), nullable=False),
        sa.CheckConstraint("wrong >= 0", name="ck_pin_wrong"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"]),
        sa.PrimaryKeyConstraint("person_id"),
    )


def _drop_pins() -> None:
    op.drop_table("pin")


def _limit_people() -> None:
    """What a person may do at the page; everybody may do everything until somebody says else."""
    op.add_column(
        "person", sa.Column("may", sa.Text(), server_default=sa.text("''"), nullable=False)
    )


def _people_may_all() -> None:
    op.drop_column("person", "may")


_BY_WIDTH = ("measured_width_mm",)
_COVERING = (
    *("measured_width_mm", "kind_id", "condition", "place_id", "wear_milli"),
    *("dedicated_to", "length_mm", "ground_um", "measured_long_mm"),
)


def _cover_measured() -> None:
    """All that decides whether a measured piece could serve, so that no row is read for it."""
    _index_measured(_COVERING)


def _measured_by_width() -> None:
    _index_measured(_BY_WIDTH)


def _index_measured(columns: tuple[str, ...]) -> None:
    measured = sa.text("measured_width_mm IS NOT NULL")
    op.drop_index("ix_piece_measured", "piece")
    op.create_index(
        *("ix_piece_measured", "piece", columns),
        sqlite_where=measured,
        postgresql_where=measured,
    )


def _round_corners() -> None:
    """The radius of a tool's corners; those of the rows before are sharp."""
    with op.batch_alter_table("kind", recreate="always") as batch:
        batch.add_column(sa.Column("corner_radius_mm", sa.Float(), nullable=True))
        batch.create_check_constraint("ck_kind_corner_radius_mm", "corner_radius_mm > 0")


def _corners_are_sharp() -> None:
    with op.batch_alter_table("kind", recreate="always") as batch:
        batch.drop_constraint("ck_kind_corner_radius_mm", type_="check")
        batch.drop_column("corner_radius_mm")
