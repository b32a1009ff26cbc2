"""The hits of a plan on the screen, and the line that logs them."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import PlaceRecord
from tests.cli.asking import Window
from tests.shop import add_kind, add_piece, add_seat, add_station, insert, new_crib


@pytest.fixture
def crib(tmp_path: Path) -> Path:
    """A metric shop with a round pair 22, a rectangle 22 x 44 and a rectangle 40 x 60."""
    path = tmp_path / "plans.crib"
    shop = new_crib(path, unit="mm")
    seat = add_seat(shop, "A", body_diameter_mm=80.0, nut_bore_mm=80.0, die_diameter_mm=120.0)
    add_station(shop, "Ironworker 1", "punch", 900_000.0, [seat])
    insert(shop, PlaceRecord, name="A2", sort="drawer", walk_order=1)
    for number, sizes in enumerate(((22.0,), (22.0, 44.0), (40.0, 60.0)), 1):
        add_pair(shop, number, *sizes)
    shop.close()
    return path


def add_pair(shop: Session, number: int, width_mm: float, long_mm: float | None = None) -> None:
    """A punch P-n and a die D-n 1 mm larger."""
    shape = "round" if long_mm is None else "rectangle"
    for role, more_mm in (("punch", 0.0), ("die", 1.0)):
        kind = add_kind(
            shop,
            role=role,
            width=f"{width_mm + more_mm}mm",
            long="" if long_mm is None else f"{long_mm + more_mm}mm",
            shape=shape,
            seat_id=1,
            key_angles="" if long_mm is None else "0 90",
        )
        add_piece(shop, f"{role[0].upper()}-{number}", kind)


@pytest.fixture
def window(crib: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    return Window(crib, capsys)


def test_the_hits_stand_in_their_order_with_place_kind_and_bite(window: Window) -> None:
    said = window.ask("find", "slot 22 x 66 thru 5 S275 for 200")
    assert said.status == 0
    rows = [" ".join(line.split()) for line in said.lines]
    assert "hit with from the middle kind bites" in rows
    assert "1 P-1 -22 mm full 100 %" in rows
    assert "2 P-1 +22 mm full 100 %" in rows
    assert "3 P-2 0 bridge 61 %" in rows
    assert max(len(line) for line in said.lines) <= 80


def test_a_grid_and_turned_tools_have_columns_of_their_own(window: Window) -> None:
    said = window.ask("find", "rectangle 60 x 72 thru 5 S275")
    rows = [" ".join(line.split()) for line in said.lines]
    assert "hit from the middle tool kind bites" in rows
    assert "2 +16 mm turned chain 80 %" in rows


def test_a_pick_of_one_hit_has_no_table_of_hits(window: Window) -> None:
    said = window.ask("find", "rectangle 40 x 60 thru 5 S275")
    assert "bites" not in said.out
    assert "log it" not in said.out


@pytest.mark.parametrize(
    ("phrase", "log", "entries"),
    [
        (
            "slot 22 x 66 thru 5 S275 for 200",
            "P-1 400 thru 5mm S275 with D-1 P-2 200 thru 5mm S275 with D-2 bridge",
            {"P-1": 400, "D-1": 400, "P-2": 200, "D-2": 200},
        ),
        (
            "rectangle 60 x 72 thru 5 S275 for 30",
            "P-3 30 thru 5mm S275 with D-3 P-3 30 thru 5mm S275 with D-3 chain",
            {"P-3": 60, "D-3": 60},
        ),
    ],
)
def test_the_line_to_log_is_told_and_counts_every_hit(
    window: Window, crib: Path, phrase: str, log: str, entries: dict[str, int]
) -> None:
    said = window.ask("find", phrase)
    assert f"Afterwards log it: crib log {log}" in " ".join(said.out.split())
    assert window.ask("log", *log.split()).status == 0
    shop = open_crib(crib)
    rows = shop.rows(
        "SELECT piece.tag, sum(entry.quantity) FROM entry JOIN piece ON piece.id = entry.piece_id"
        " WHERE entry.action = 'strokes' GROUP BY piece.tag"
    )
    assert dict(tuple(row) for row in rows) == entries
    shop.close()


def test_what_refuses_a_plan_is_said_once(window: Window) -> None:
    said = window.ask("find", "rectangle 22 x 55 thru 5 S275")
    assert said.status == 3
    told = " ".join(said.out.split())
    assert "2 hits (1 full, 1 chain) with rectangle 22 x 44 mm, side by side" in told
    assert told.count("chain hit 2 cuts 25 %") == 1
