"""What the page at the window, finer drawings and several sites need.

Revision: 0005, after 0004.
"""

from __future__ import annotations

from collections.abc import Callable

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
    return ()
