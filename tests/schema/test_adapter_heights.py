"""An adapter's height that was stored as 0 for want of a word is unknown from revision 0004 on."""

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
