"""A crib may have any name that can be printed; nothing of a name is an instruction to anybody."""

from __future__ import annotations

import os
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from crib.acts import yes_to
from crib.desk.book.new_crib import new_crib
from crib.desk.book.safe_copy import back_up, restore
from crib.desk.tables.export_tables import give_out
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import crib_path
from tests.desk.rows import every_row
from tests.schema.cribs import filled

NAMES = st.text(
    st.characters(exclude_categories=["C", "Zl", "Zp"], exclude_characters="/"),
    min_size=1,
    max_size=30,
).filter(lambda name: name not in (".", "..", "~") and "://" not in name)
ODD = (
    "a?mode=memory",
    "100%20.crib",
    "q?",
    "#1",
    ":memory:",
    "file:x",
    "~nobody",
    "a%41b",
    "&;'\"",
)


def left_in(folder: Path, *names: str) -> set[str]:
    """What lies in a folder besides some files and what SQLite keeps beside them."""
    return {one.name for one in folder.iterdir() if not one.name.startswith(names)}


@pytest.mark.slow
@settings(max_examples=6)
@given(NAMES)
@example(ODD[0])
@example(ODD[1])
@example(ODD[2])
@example(ODD[3])
@example(ODD[4])
@example(ODD[5])
@example(ODD[6])
@example(ODD[7])
@example(ODD[8])
def test_a_crib_of_any_name_is_made_copied_restored_exported_and_upgraded(name: str) -> None:
    with TemporaryDirectory() as place:
        folder, before = Path(place), os.getcwd()
        os.chdir(place)
        try:
            _takes_every_step(folder, name)
        finally:
            os.chdir(before)


def _takes_every_step(folder: Path, name: str) -> None:
    """By a path from the folder itself, where a name stands alone."""
    path = crib_path(name)
    made = new_crib(path)
    assert made.path == name
    assert left_in(folder, name) == set()
    with closing(open_crib(path)) as session:
        rows = every_row(session)
        give_out(session, folder / f"{name} out")
    copy = back_up(path, folder / f"{name} copy").path
    path.unlink()
    restore(path, copy, confirmed=yes_to("replace-crib"))
    with closing(open_crib(path)) as session:
        assert every_row(session) == rows
    older = folder / f"{name} old"
    filled(older, "0003")
    with closing(open_crib(older)) as session:
        assert session.value("SELECT count(*) FROM piece") == 2
    assert left_in(folder, name) == set()
