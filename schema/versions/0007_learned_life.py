"""What a kind's edges taught of how long one lasts, and not of its interval alone.

Revision: 0007, after 0006.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Nothing kept: the next edge of a kind, or mending, learns it."""
    with op.batch_alter_table("kind") as batch:
        batch.add_column(
            sa.Column("learned_life", sa.Text(), server_default=sa.text("''"), nullable=False)
        )


def downgrade() -> None:
    with op.batch_alter_table("kind") as batch:
        batch.drop_column("learned_life")
