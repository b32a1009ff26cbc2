"""Labels from the crib: which tools and drawers, and what is said of them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from crib.acts import yes_to
from crib.desk.shelf import labels as desk
from crib.desk.shelf.labels import Labels, LabelsRequest, chosen_labels, make_labels
from crib.errors import AskBack, BadInput, BadValue, Missing, Refused, UnknownName
from crib.files.paper.labels import DrawerLabel, ToolLabel
from crib.stock.engine.session import Session
from tests.desk.asks import rule
from tests.shop import add_kind, add_piece, new_crib, small_shop

FILE = Path("labels.pdf")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    made = small_shop(tmp_path / "shop.crib")
    yield made
    made.close()


def seat(shop: Session, name: str = "A") -> int:
    """The number of a seat."""
    return int(shop.value("SELECT id FROM seat WHERE name = ?", (name,)))


def tools(shop: Session, **asked: Any) -> list[ToolLabel]:
    """The tool labels that a request gives."""
    found = chosen_labels(shop, LabelsRequest(FILE, **asked), "in")
    assert all(isinstance(one, ToolLabel) for one in found)
    return [one for one in found if isinstance(one, ToolLabel)]


def drawers(shop: Session, *places: str) -> list[DrawerLabel]:
    """The drawer labels that a request gives."""
    found = chosen_labels(shop, LabelsRequest(FILE, drawers=True, places=places), "in")
    return [one for one in found if isinstance(one, DrawerLabel)]


def made(shop: Session, file: Path, **asked: Any) -> Labels:
    """Labels, as asked for at the window."""
    return make_labels(shop, LabelsRequest(file, **asked))


def test_tools_are_labelled_in_the_order_of_their_tags(shop: Session) -> None:
    found = tools(shop, tags=("d-0201", "P-0137", "D-0201"))
    assert [one.tag for one in found] == ["D-0201", "P-0137"]
    assert found[1] == ToolLabel("P-0137", "13/16 in", ("round punch, seat A", "punch, seat A"))


def test_a_drawers_tools_are_those_that_lie_there_and_are_not_gone(shop: Session) -> None:
    add_piece(shop, "P-0500", add_kind(shop, role="punch", width="1/4"), condition="lost")
    assert [one.tag for one in tools(shop, places=("a1",))] == ["P-0137"]
    assert [one.tag for one in tools(shop, places=("A2",))] == [
        *("D-0201", "D-0301", "D-0202", "P-0140")
    ]


def test_a_broken_piece_has_a_label_only_by_its_tag(shop: Session) -> None:
    add_piece(shop, "P-0500", add_kind(shop, role="punch", width="1/4"), condition="broken")
    assert "P-0500" not in [one.tag for one in tools(shop, places=("A1",))]
    assert "1/4 in" not in [one.size for one in drawers(shop)]
    assert [one.tag for one in tools(shop, tags=("P-0500",))] == ["P-0500"]


def test_all_is_every_tool_once_drawer_by_drawer(shop: Session) -> None:
    found = [one.tag for one in tools(shop, every=True, places=("A2",), tags=("P-0140",))]
    assert found == ["P-0140", "D-0201", "D-0301", "D-0202", "P-0137"]


def test_the_size_is_the_stamped_one_and_a_measured_one_stands_behind_it(shop: Session) -> None:
    kind = add_kind(shop, role="die", width="27/32", seat_id=seat(shop))
    add_piece(shop, "D-0400", kind, measured_width_mm=21.6)
    (found,) = tools(shop, tags=("D-0400",))
    assert found.size == "27/32 in"
    assert found.what[0] == "die, seat A, measured 0.8504 in"


def test_a_tool_without_a_size_is_called_by_its_kind(shop: Session) -> None:
    kind = add_kind(
        shop, role="blade", width="1", shape="", width_mm=None, profile="flat", name="upper blade"
    )
    add_piece(shop, "B-1", kind)
    assert tools(shop, tags=("B-1",)) == [ToolLabel("B-1", "", ("upper blade",))]


def test_a_drawer_label_stands_for_each_kind_in_each_drawer(shop: Session) -> None:
    kind = shop.value("SELECT kind_id FROM piece WHERE tag = 'D-0201'")
    add_piece(shop, "D-0203", kind)
    add_piece(shop, "D-0204", kind, place="A3")
    assert [(one.drawer, one.size) for one in drawers(shop)] == [
        *(("A1", "13/16 in"), ("A2", "27/32 in"), ("A2", "27/32 in"), ("A2", "7/8 in")),
        *(("A2", "7/8 in"), ("A3", "27/32 in")),
    ]
    assert [one.drawer for one in drawers(shop, "A3", "A1")] == ["A1", "A3"]


@pytest.mark.parametrize(
    ("role", "shape", "profile", "drawn", "ground"),
    [
        ("punch", "hexagon", "", "hexagon", ""),
        ("die", "hexagon", "", "hexagon", "disc"),
        ("blade", "", "angle", "angle", "block"),
        ("set", "rectangle", "notch", "notch", ""),
        ("stripper", "", "", "", ""),
    ],
)
def test_the_picture_is_the_shape_of_the_hole_or_of_the_stock(
    shop: Session, role: str, shape: str, profile: str, drawn: str, ground: str
) -> None:
    add_piece(
        shop, "T-1", add_kind(shop, role=role, width="1", shape=shape, profile=profile), place="A4"
    )
    (found,) = drawers(shop, "A4")
    assert (found.shape, found.ground) == (drawn, ground)


def clearance(shop: Session, width: str, **kind: Any) -> tuple[str, ...]:
    """What the drawer label of a new die says of its clearance."""
    kind = {"seat_id": seat(shop), **kind}
    add_piece(shop, "D-1", add_kind(shop, role="die", width=width, **kind), place="A4")
    return drawers(shop, "A4")[0].clearance


@pytest.mark.parametrize(
    ("width", "said"),
    [
        ("13/16", ()),
        ("27/32", ("1/32 in clear over 13/16 in", "1/32 in clear")),
        ("7/8", ("1/16 in clear over 13/16 in", "1/16 in clear")),
        ("29/32", ("1/32 in clear over 7/8 in", "1/32 in clear")),
        ("1-3/32", ("7/32 in clear over 7/8 in", "7/32 in clear")),
        ("1-1/8", ()),
    ],
)
def test_a_die_tells_its_clearance_over_the_nearest_punch_below(
    shop: Session, width: str, said: tuple[str, ...]
) -> None:
    assert clearance(shop, width) == said


@pytest.mark.parametrize("other", [{"shape": "square"}, {"seat_id": None}])
def test_a_die_of_another_shape_or_seat_has_no_clearance_over_a_punch(
    shop: Session, other: dict[str, Any]
) -> None:
    assert clearance(shop, "27/32", **other) == ()


def test_a_die_is_not_for_a_punch_of_another_seat(shop: Session) -> None:
    assert clearance(shop, "27/32", seat_id=seat(shop, "B")) == ()


@pytest.mark.parametrize(
    ("long", "said"), [("1-17/32", ("1/32 in clear over 13/16 x 1-1/2 in",)), ("1-5/8", ())]
)
def test_a_slots_die_is_clear_alike_both_ways(
    shop: Session, long: str, said: tuple[str, ...]
) -> None:
    slot = {"shape": "obround", "seat_id": seat(shop)}
    add_piece(shop, "P-1", add_kind(shop, role="punch", width="13/16", long="1-1/2", **slot))
    assert clearance(shop, "27/32", long=long, **slot)[:1] == said


def test_a_punch_that_is_gone_gives_no_clearance(shop: Session) -> None:
    kind = add_kind(shop, role="punch", width="1", seat_id=seat(shop))
    add_piece(shop, "P-9", kind, condition="retired")
    assert clearance(shop, "1-1/32") == ("5/32 in clear over 7/8 in", "5/32 in clear")


def test_it_says_how_many_of_what_were_printed(shop: Session, tmp_path: Path) -> None:
    said = made(shop, tmp_path / "a.pdf", every=True, skip=27)
    assert said == Labels(
        *(str(tmp_path / "a.pdf"), "letter 3x10 66.7x25.4", "letter", 5, 5, 0, 2, 27, ())
    )
    assert len(PdfReader(tmp_path / "a.pdf").pages) == 2
    said = made(shop, tmp_path / "b.pdf", drawers=True, on="a4 4x12")
    assert (said.sheet, said.tools, said.drawers) == ("a4 4x12 45.7x21.2", 0, 5)


def test_codes_open_the_page_where_it_has_an_address(shop: Session, tmp_path: Path) -> None:
    assert {one.code for one in tools(shop, every=True)} == {""}
    assert {one.code for one in drawers(shop)} == {""}
    rule(shop, "page.address", "HTTP://Crib.North-Bay.local:8321/")
    assert tools(shop, tags=("P-0137",))[0].code == "http://crib.north-bay.local:8321/piece/P-0137"
    assert drawers(shop, "A1")[0].code == "http://crib.north-bay.local:8321/drawer/A1"
    assert tools(shop, tags=("P-0137",), plain=True)[0].code == ""
    low = made(shop, tmp_path / "a.pdf", tags=("P-0137",), on="letter 4x20")
    assert (low.address, low.short_codes) == ("http://crib.north-bay.local:8321", ("P-0137",))


def test_a_metric_crib_prints_on_a4_in_mm(tmp_path: Path) -> None:
    shop = new_crib(tmp_path / "metric.crib", unit="mm")
    add_piece(shop, "P-1", add_kind(shop, role="punch", width="22mm"), condition="sound")
    said = made(shop, tmp_path / "a.pdf", tags=("P-1",))
    assert said.sheet == "a4 3x8 70x37"
    assert "22 mm" in PdfReader(tmp_path / "a.pdf").pages[0].extract_text()
    shop.close()


@pytest.mark.parametrize(
    ("asked", "error", "words"),
    [
        ({}, BadInput, "it was not said what to label"),
        ({"drawers": True, "tags": ("P-0137",)}, BadInput, "drawers and labels of tools"),
        ({"drawers": True, "every": True}, BadInput, "drawers and labels of tools"),
        ({"tags": ("P-9999",)}, UnknownName, "no piece with tag 'P-9999'"),
        ({"places": ("Z9",)}, UnknownName, "no place called 'Z9'"),
        ({"places": ("A3",)}, Missing, "there is nothing to label"),
        ({"drawers": True, "places": ("A3",)}, Missing, "there is nothing to label"),
        (
            {"drawers": True, "places": ("Ironworker 1 / punch",)},
            Refused,
            "Ironworker 1 / punch is a station, not a drawer",
        ),
        ({"tags": ("P-0137",), "on": "a4 9x9"}, UnknownName, "no label sheet 'a4 9x9'"),
        ({"tags": ("P-0137",), "skip": 30}, BadValue, "skip=30 must be 0 to 29"),
    ],
)
def test_what_cannot_be_labelled_is_refused_and_nothing_is_written(
    shop: Session, tmp_path: Path, asked: dict[str, Any], error: type[Exception], words: str
) -> None:
    with pytest.raises(error, match=words):
        made(shop, tmp_path / "a.pdf", **asked)
    assert not (tmp_path / "a.pdf").exists()


def test_too_many_labels_at_once_are_refused(
    shop: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(desk, "MOST_LABELS", 5)
    assert made(shop, tmp_path / "a.pdf", every=True).labels == 5
    monkeypatch.setattr(desk, "MOST_LABELS", 4)
    with pytest.raises(BadValue, match="5 labels at once must be <= 4"):
        made(shop, tmp_path / "b.pdf", every=True)


def test_a_file_that_is_there_stays_unless_it_is_said_again(shop: Session, tmp_path: Path) -> None:
    file = tmp_path / "a.pdf"
    file.write_bytes(b"mine")
    with pytest.raises(AskBack, match="is there already"):
        made(shop, file, every=True)
    assert file.read_bytes() == b"mine"
    assert made(shop, file, every=True, confirmed=yes_to("overwrite")).labels == 5
    assert sorted(one.name for one in tmp_path.iterdir() if one.suffix == ".pdf") == ["a.pdf"]


@pytest.mark.parametrize(
    ("name", "error", "words"),
    [
        ("a.txt", BadValue, "the file must end in .pdf, found 'a.txt'"),
        ("none/a.pdf", Missing, "there is no folder"),
    ],
)
def test_a_place_where_nothing_can_be_written_is_refused(
    shop: Session, tmp_path: Path, name: str, error: type[Exception], words: str
) -> None:
    with pytest.raises(error, match=words):
        made(shop, tmp_path / name, every=True)
