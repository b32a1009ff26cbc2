"""Facts beside the sentences: what a stroke's weight is made of, and what an entry is about.

Revision: 0003, after 0002.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

_COLUMNS = (("entry", "factors"), ("entry", "subject"), ("order_line", "specification"))

# Until now the note of an entry said what it is about. A note that somebody typed may look the
# same, so each counts only where the row that it would name is there and fits.
_PRINTED_LINES = """
    SELECT entry.id AS entry, 'line ' || printed.code AS subject
    FROM (
        SELECT paper_line.piece_id, paper.made_at,
            CAST(paper.id AS VARCHAR(10)) || '-' || CAST(paper_line.line AS VARCHAR(10)) AS code
        FROM paper JOIN paper_line ON paper_line.paper_id = paper.id
    ) AS printed
    JOIN entry ON entry.piece_id = printed.piece_id AND entry.made_at >= printed.made_at
    WHERE entry.action = 'strokes' AND (entry.note = 'sheet line ' || printed.code
    OR substr(entry.note, 1, length(printed.code) + 12) = 'sheet line ' || printed.code || ';')
"""
_ASSUMED = """
    SELECT entry.id AS entry, 'closing' AS subject FROM entry
    WHERE entry.action = 'strokes' AND entry.note = 'assumed at closing' AND entry.job <> ''
"""
# A piece has one hold at a time, so a step is of the newest that there was.
_STEPS_OF_HOLDS = """
    SELECT entry.id AS entry,
        'hold ' || CAST(hold.id AS VARCHAR(10)) || ' ' || :step AS subject
    FROM hold LEFT JOIN job ON job.id = hold.job_id
    JOIN entry ON entry.piece_id = hold.piece_id AND entry.made_at >= hold.made_at
    WHERE entry.action = 'move'
    AND entry.shift_on = CASE WHEN :step = 'out' THEN hold.out_on ELSE hold.back_on END
    AND entry.note = CASE WHEN job.id IS NULL THEN :alone || hold.holder
        ELSE :for_job || hold.holder || ' for job ' || job.name END
    AND NOT EXISTS (SELECT 1 FROM hold AS later WHERE later.piece_id = hold.piece_id
        AND later.id > hold.id AND later.made_at <= entry.made_at)
"""
SUBJECTS: tuple[tuple[str, dict[str, str]], ...] = (
    (_PRINTED_LINES, {}),
    (_ASSUMED, {}),
    (_STEPS_OF_HOLDS, {"step": "out", "alone": "lent to ", "for_job": "handed out to "}),
    (_STEPS_OF_HOLDS, {"step": "back", "alone": "back from ", "for_job": "back from "}),
)
"""Queries for entries and their subjects; an export of an older crib is read by them as well."""
CARRY = "UPDATE entry SET subject = :subject WHERE id = :entry"


def upgrade() -> None:
    for table, name in _COLUMNS:
        column = sa.Column(name, sa.Text(), server_default=sa.text("''"), nullable=False)
        op.add_column(table, column)
    connection = op.get_bind()
    for sql, values in SUBJECTS:
        known = connection.execute(sa.text(sql), values).all()
        if known:
            connection.execute(sa.text(CARRY), [row._asdict() for row in known])


def downgrade() -> None:
    for table, name in reversed(_COLUMNS):
        op.drop_column(table, name)
