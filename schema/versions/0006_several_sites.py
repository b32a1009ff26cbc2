"""What several sites, a server and surer chances need.

Revision: 0006, after 0005.
"""

from __future__ import annotations

from collections.abc import Callable

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
    return ()
