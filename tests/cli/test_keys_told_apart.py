"""A pair keyed along the throat and one keyed across read differently wherever they are named."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from crib.desk.plan.feature_places import key_angle_deg
from crib.stock.engine.session import Session
from tests.cli.asking import Window
from tests.desk.asks import one_station
from tests.features.bench import tool
from tests.files.paper_samples import pages
from tests.shop import add_kind, add_piece

SLOT = "slot 13/16 x 1-7/8 thru 3/8 A36"


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    """A crib with one pair keyed along the throat and one across, else alike."""
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    where = tmp_path / "two.crib"
    with closing(one_station(where)) as shop:
        with shop.writing():
            shop.run("UPDATE seat SET body_diameter_mm = 60, die_diameter_mm = 90")
        for number, key in (("1", "0"), ("2", "90")):
            _add(shop, number, key)
    return Window(where, capsys)


def _add(shop: Session, number: str, key: str) -> None:
    sizes: dict[str, Any] = {"shape": "obround", "seat_id": 1, "key_angles": key}
    for role, width, long in (("punch", "13/16", "1-7/8"), ("die", "27/32", "1-29/32")):
        kind = add_kind(shop, name=f"{role} {number}", role=role, width=width, long=long, **sizes)
        add_piece(shop, f"{role[0].upper()}-{number}", kind, place="A1")


def test_find_tells_them_apart_in_its_first_answer_and_its_others(window: Window) -> None:
    said = window.ask("find", *SLOT.split())
    first = [line for line in said.lines if line.startswith(("punch ", "die "))]
    assert len(first) == 2
    assert all("along" in line and "across" not in line for line in first)
    (other,) = [line for line in said.lines if line.startswith("2   ")]
    assert "P-2 + D-2, across" in other
    pieces = window.ask("find", *SLOT.split(), "--json").json["picks"][0]["pieces"]
    assert [one["key_angles_deg"] for one in pieces] == [[0], [0]]


def test_a_near_miss_says_which_way_each_is_keyed(window: Window) -> None:
    said = " ".join(window.ask("find", *SLOT.split(), "--with", "P-1", "--with", "D-2").out.split())
    assert "punch keyed along (0°) the throat, die keyed across (90°) the throat" in said


@pytest.mark.parametrize(("tag", "key"), [("P-1", "along (0°)"), ("D-2", "across (90°)")])
def test_show_says_how_a_piece_is_keyed(window: Window, tag: str, key: str) -> None:
    assert f"keyed {key} the throat" in window.ask("show", tag).out


def test_labels_of_tools_and_drawers_carry_it(window: Window, tmp_path: Path) -> None:
    for number, words in enumerate((["P-1", "D-2"], ["--drawers", "--drawer", "A1"])):
        file = tmp_path / f"{number}.pdf"
        assert window.ask("labels", str(file), *words).status == 0
        printed = " ".join(pages(file.read_bytes()))
        assert "along" in printed
        assert "across" in printed


def test_an_order_line_says_it(window: Window) -> None:
    with closing(_session(window)) as shop, shop.writing():
        shop.run("UPDATE piece SET condition = 'broken' WHERE tag IN ('P-1', 'P-2', 'D-1')")
    said = window.ask("find", *SLOT.split(), "--json").json
    (line,) = said["order"]
    assert "long axis keyed across (90°) the throat" in line["text"]
    listed = [one["what"] for one in window.ask("buy", "--json").json["lines"]]
    punches = {one for one in listed if one.startswith("punch obround 13/16 x 1-7/8 in, seat A")}
    assert {one.rpartition(", ")[2] for one in punches} == {"along", "across"}


def _session(window: Window) -> Session:
    from crib.stock.engine.opening import open_crib

    return open_crib(window.path)


@pytest.mark.parametrize(
    ("shape", "punch", "die", "set_at"),
    [
        ("obround", (0, 90), (90,), (90, 90)),
        ("obround", (0, 90), (0, 90), (0, 0)),
        ("square", (0,), (90,), (0, 90)),
        ("obround", (45,), (0, 45), (45, 45)),
    ],
)
def test_a_set_up_sheet_sets_both_keys_of_a_pair_alike(
    shape: str, punch: tuple[int, ...], die: tuple[int, ...], set_at: tuple[int, int]
) -> None:
    over = tool("punch", 20.0, 40.0, shape=shape, key_angles=punch)
    under = tool("die", 21.0, 41.0, shape=shape, key_angles=die)
    assert (key_angle_deg(over, under, []), key_angle_deg(under, over, [])) == set_at
