"""What revision 0004 makes plain: heights that nobody said, squares that were called rectangles."""

from __future__ import annotations

from pathlib import Path

import pytest
from alembic import command

from crib.stock.engine.migrate import alembic_config
from tests.schema.cribs import filled, raw

ADAPTER, PUNCH = 3, 1


@pytest.mark.parametrize(
    ("kind_id", "was", "becomes"), [(ADAPTER, 0.0, None), (ADAPTER, 6.5, 6.5), (PUNCH, 0.0, 0.0)]
)
def test_an_adapter_of_no_height_is_one_that_nobody_measured(
    tmp_path: Path, kind_id: int, was: float, becomes: float | None
) -> None:
    path = filled(tmp_path / "old.crib", "0003")
    with raw(path) as connection:
        connection.execute("UPDATE kind SET added_height_mm = ? WHERE id = ?", (was, kind_id))
    command.upgrade(alembic_config(path), "head")
    assert _height(path, kind_id) == becomes
    command.downgrade(alembic_config(path), "0003")
    assert _height(path, kind_id) == was


def _height(path: Path, kind_id: int) -> float | None:
    with raw(path) as connection:
        row = connection.execute("SELECT added_height_mm FROM kind WHERE id = ?", (kind_id,))
        height: float | None = row.fetchone()[0]
        return height


@pytest.mark.parametrize(
    ("role", "long_mm", "shape"),
    [
        ("die", 20.6375, ("square", None)),
        ("die", 30.0, ("rectangle", 30.0)),
        ("set", 20.6375, ("rectangle", 20.6375)),
    ],
)
def test_a_rectangle_with_equal_sides_becomes_a_square(
    tmp_path: Path, role: str, long_mm: float, shape: tuple[str, float | None]
) -> None:
    path = filled(tmp_path / "old.crib", "0003")
    with raw(path) as connection:
        connection.execute(
            "UPDATE kind SET shape = 'rectangle', width_mm = 20.6375, long_mm = ?, role = ?"
            " WHERE id = 2",
            (long_mm, role),
        )
    command.upgrade(alembic_config(path), "head")
    with raw(path) as connection:
        row = connection.execute("SELECT shape, long_mm FROM kind WHERE id = 2").fetchone()
    assert tuple(row) == shape
