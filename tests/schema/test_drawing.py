"""The drawing in schema/tables.md shows the tables as they are declared."""

from __future__ import annotations

from tests.schema.drawing import FILE, drawing


def test_the_drawing_shows_the_tables_as_they_are() -> None:
    assert FILE.read_text("utf-8") == drawing(), "make it again: python -m tests.schema.drawing"


def test_the_drawing_shows_what_a_piece_hangs_on() -> None:
    shown = FILE.read_text("utf-8")
    assert "kind ||--o{ piece : kind_id" in shown
    assert "entry ||--o{ entry : reverses_id" in shown
