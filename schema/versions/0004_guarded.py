"""What guards the hand and the ledger.

Revision: 0004, after 0003.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

_TEXTS: tuple[tuple[str, str], ...] = ()
"""New columns of text, empty in the rows that were there before."""
_NUMBERS: tuple[tuple[str, str], ...] = ()
"""New columns of numbers that may be unknown, and are in the rows that were there before."""


def upgrade() -> None:
    for table, name in _TEXTS:
        op.add_column(
            table, sa.Column(name, sa.Text(), server_default=sa.text("''"), nullable=False)
        )
    for table, name in _NUMBERS:
        op.add_column(table, sa.Column(name, sa.Float(), nullable=True))


def downgrade() -> None:
    for table, name in reversed(_TEXTS + _NUMBERS):
        op.drop_column(table, name)
