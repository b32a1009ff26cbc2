"""What two databases could take differently: both engines give back and compare alike."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from crib.stock.book.people import add_person, person_names
from tests.shop import add_kind, new_crib, small_shop

pytestmark = pytest.mark.both_engines

NAMES = ["Zoe", "anna", "Ärmel", "ärmel", "Änne", "Émile", "Öl", "zoe 10", "zoe 9", "ß", "_x", "😀"]
LARGEST = 2**62


def test_texts_are_sorted_by_their_code_points(tmp_path: Path) -> None:
    with closing(new_crib(tmp_path / "shop.crib")) as session:
        with session.writing():
            for name in NAMES:
                add_person(session, name)
        assert person_names(session) == sorted([*NAMES, "window"])


def test_capitals_are_one_with_small_letters_from_a_to_z_alone(tmp_path: Path) -> None:
    lower = str.maketrans({chr(code): chr(code + 32) for code in range(65, 91)})
    query = "SELECT name FROM person WHERE lower(name) = lower(?) ORDER BY name"
    with closing(new_crib(tmp_path / "shop.crib")) as session:
        with session.writing():
            for name in NAMES:
                add_person(session, name)
        for asked in (one for name in NAMES for one in (name, name.upper(), name.lower())):
            same = [name for name in NAMES if name.translate(lower) == asked.translate(lower)]
            assert [row[0] for row in session.rows(query, (asked,))] == sorted(same), asked


def test_counts_beyond_32_bits_and_sums_of_them_stay_whole(tmp_path: Path) -> None:
    with closing(small_shop(tmp_path / "shop.crib")) as session:
        with session.writing():
            session.run("UPDATE piece SET wear_milli = ? WHERE id < 3", (LARGEST // 2,))
        total = session.value("SELECT sum(wear_milli) FROM piece WHERE id < 3")
        assert (total, type(total)) == (LARGEST, int)


def test_truths_and_what_nobody_said_come_back_as_they_went(tmp_path: Path) -> None:
    with closing(small_shop(tmp_path / "shop.crib")) as session:
        rows = session.rows("SELECT deferred, measured_width_mm FROM piece ORDER BY id")
        assert [(bool(row[0]), row["measured_width_mm"]) for row in rows] == [(False, None)] * 5
        query = "SELECT count(*) FROM piece WHERE NOT deferred AND measured_width_mm IS NULL"
        assert session.value(query) == 5


@pytest.mark.parametrize("asked", ["ÄRMEL", "ärmel", "Ärmel", "äRmEl"])
def test_part_of_a_kinds_name_is_found_alike(tmp_path: Path, asked: str) -> None:
    with closing(new_crib(tmp_path / "shop.crib")) as session:
        add_kind(session, role="punch", width="1/2", name="Stempel Ärmel 100%_x")
        found = session.value(
            "SELECT count(*) FROM kind WHERE lower(name) LIKE lower(?)", (f"%{asked}%",)
        )
        assert found == (1 if asked[0] == "Ä" else 0)
