"""One part in two files is asked back, wherever and however turned it lies in them."""

from __future__ import annotations

from cmath import rect
from math import radians
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.desk.parts.parts_count import PartsCount
from crib.desk.parts.read_parts import ReadRequest, read_parts
from crib.errors import AskBack, BadInput, BadValue
from tests.files.dxf_text import draw_outline, text_of
from tests.files.dxf_text import plate as drawn_plate
from tests.files.nc1_text import holes, nc1

PLACES = [(40.0, 30.0, 18.0), (120.0, 30.0, 18.0), (200.0, 70.0, 22.0)]


def write_nc1(path: Path, places: list[tuple[float, float, float]], **fields: Any) -> None:
    lines = [f"  v {x:.2f} {y:.2f} {size:.2f}" for x, y, size in places]
    path.write_text(nc1(holes(*lines), **fields))


def write_dxf(
    path: Path, places: list[tuple[float, float, float]], turned_deg: float = 0.0
) -> None:
    """The plate of ``nc1`` drawn somewhere else and turned."""
    document = drawn_plate(1.0, 1.0)
    model = document.modelspace()
    model.delete_all_entities()
    turn, away = rect(1.0, radians(turned_deg)), 500 + 300j
    corners = [0j, 300 + 0j, 300 + 100j, 100j]
    draw_outline(model, [(away + turn * corner, 0.0) for corner in corners], "polyline")
    for x, y, size in places:
        middle = away + turn * complex(x, y)
        model.add_circle((middle.real, middle.imag), size / 2)
    path.write_text(text_of(document))


def read(folder: Path, said: str = "") -> PartsCount:
    return read_parts(None, ReadRequest((folder,), thickness="12mm", same_part=said))


@given(
    turned_deg=st.sampled_from([0.0, 17.0, 90.0, 180.0, 271.5]), mark=st.sampled_from(["A", "P-1"])
)
@settings(max_examples=10, deadline=None)
def test_the_drawing_beside_the_nc_file_is_the_same_part(
    tmp_path_factory: pytest.TempPathFactory, turned_deg: float, mark: str
) -> None:
    folder = tmp_path_factory.mktemp("job")
    write_nc1(folder / "P-1.nc1", PLACES, mark=mark, quantity=4)
    write_dxf(folder / "P-1.dxf", PLACES, turned_deg)
    with pytest.raises(AskBack, match="1 part stands in more than one file") as asked:
        read(folder)
    assert asked.value.choose == "same-part"
    assert "P-1.nc1 (4 pieces)" in asked.value.told[0]
    assert [read(folder, said).total for said in ("once", "each")] == [12, 15]


def test_the_account_says_which_part_and_which_file_were_merged(tmp_path: Path) -> None:
    write_nc1(tmp_path / "P-1.nc1", PLACES, quantity=4)
    write_dxf(tmp_path / "P-1.dxf", PLACES)
    count = read(tmp_path, "once")
    drawing, nc, files = sorted(count.read.accounts, key=lambda one: one.file == "")
    assert {item.ending for item in drawing.items} == {"merged"}
    assert nc.sums()["merged"] == 0
    assert [(item.name, item.ending) for item in files.items] == [
        ("P-1", "merged"),
        ("P-1", "counted"),
    ]


def test_one_mark_with_other_openings_is_never_counted_once(tmp_path: Path) -> None:
    write_nc1(tmp_path / "new.nc1", PLACES)
    write_nc1(tmp_path / "old.nc1", PLACES[:2])
    with pytest.raises(AskBack) as asked:
        read(tmp_path)
    assert asked.value.told[0].endswith("one mark, but other openings")
    with pytest.raises(BadInput, match=r"new\.nc1 and old\.nc1 do not have the same openings"):
        read(tmp_path, "once")
    assert read(tmp_path, "each").total == 5


def test_one_mark_in_other_numbers_is_never_counted_once(tmp_path: Path) -> None:
    write_nc1(tmp_path / "a.nc1", PLACES, quantity=4)
    write_nc1(tmp_path / "b.nc1", PLACES, quantity=6)
    with pytest.raises(BadInput, match=r"P-1: 4 pieces in a\.nc1, 6 in b\.nc1"):
        read(tmp_path, "once")


def test_parts_that_differ_in_any_way_are_not_asked_about(tmp_path: Path) -> None:
    moved = [(x + 5, y, size) for x, y, size in PLACES[:1]] + PLACES[1:]
    larger = [(x, y, size + 1) for x, y, size in PLACES]
    write_nc1(tmp_path / "a.nc1", PLACES, mark="A")
    write_nc1(tmp_path / "b.nc1", moved, mark="B")
    write_nc1(tmp_path / "c.nc1", larger, mark="C")
    write_nc1(tmp_path / "d.nc1", PLACES, mark="D", height=120.0)
    write_nc1(tmp_path / "e.nc1", PLACES, mark="E", web=10.0, flange=10.0)
    assert read(tmp_path).total == 15


def test_a_list_and_a_drawing_of_one_mark_are_asked_about(tmp_path: Path) -> None:
    write_nc1(tmp_path / "P-1.nc1", PLACES)
    (tmp_path / "list.csv").write_text("phrase,each,mark\nhole 18mm thru 12mm,2,p-1\n")
    with pytest.raises(AskBack, match="more than one file"):
        read(tmp_path)


def test_another_word_than_once_or_each_is_refused(tmp_path: Path) -> None:
    write_nc1(tmp_path / "P-1.nc1", PLACES)
    with pytest.raises(BadValue, match="same part 'twice' must be once or each"):
        read(tmp_path, "twice")


def test_a_copy_of_a_list_without_marks_is_asked_about(tmp_path: Path) -> None:
    lines = "phrase,quantity\nhole 18mm thru 12mm,6\nhole 20mm thru 12mm,2\n"
    for name in ("list.csv", "copy.csv"):
        (tmp_path / name).write_text(lines)
    with pytest.raises(AskBack, match="2 parts stand in more than one file"):
        read(tmp_path)
    assert [read(tmp_path, said).total for said in ("once", "each")] == [8, 16]
    (tmp_path / "copy.csv").write_text(lines + "hole 22mm thru 12mm,1\n")
    assert read(tmp_path).total == 17


@pytest.mark.parametrize(
    ("line", "other"),
    [
        ("  v 50u 50s 18 0.00", "  v 50u 50 18 0.00"),
        ("  v 50u 50 10 0.00l 20 20 0", "  v 50u 50 12 0.00l 18 18 0"),
    ],
)
def test_a_finish_that_only_one_file_says_is_never_lost(
    tmp_path: Path, line: str, other: str
) -> None:
    """A countersink, or the radius of corners: counted once, one file's word would be gone."""
    (tmp_path / "new.nc1").write_text(nc1(holes(line), mark="P-1"))
    (tmp_path / "old.nc1").write_text(nc1(holes(other), mark="P-1"))
    with pytest.raises(BadInput, match="do not have the same openings"):
        read(tmp_path, "once")
