"""What comes back from the grinder in one go: every piece of it, in one act, or nothing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import Workbook

from crib.desk.book.undo import undo_act
from crib.desk.edges.grind import GrindRequest
from crib.desk.shelf.grind_list import GroundList, lines_of_sheet, record_list, record_words
from crib.errors import AskBack, BadInput, BadRows, Missing
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.shop import add_kind, add_piece, small_shop

USUAL = GrindRequest("")
TEN = [f"P-02{number:02d}" for number in range(10)]


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    with closing(small_shop(tmp_path / "shop.crib")) as session:
        kind = add_kind(session, role="punch", width="1/2", name="half", length_mm=70.0)
        for number, tag in enumerate(TEN):
            add_piece(session, tag, kind, place=f"A{1 + number % 4}", length_mm=70.0)
        yield session


def in_crib(shop: Session) -> list[tuple[str, float, int, str | None]]:
    cards = [piece_by_tag(shop, tag) for tag in TEN]
    return [(card.tag, round(card.length_mm or 0.0, 3), card.grinds, card.place) for card in cards]


def taken(shop: Session, text: str, usual: GrindRequest = USUAL, to: str = "") -> GroundList:
    lines = lines_of_sheet(text.encode(), "back.csv", usual, to)
    return record_list(shop, "back.csv", lines, usual)


def test_ten_tools_come_back_in_one_act_each_to_its_drawer(shop: Session) -> None:
    with shop.writing():
        shop.run("UPDATE piece SET place_id = NULL WHERE tag = ?", (TEN[9],))
    lines = [f"{tag.lower()};{69.5 + 0.01 * at}mm;home" for at, tag in enumerate(TEN)]
    lines[3] = f"{TEN[3]};69.53mm;A1"
    got = taken(shop, "Tool #;length after;drawer\n" + "\n".join(lines))
    assert [one.tag for one in got.ground.pieces] == TEN
    assert [(one.tag, one.to) for one in got.put_away] == [(TEN[3], "A1"), (TEN[9], "A2")]
    assert in_crib(shop) == [
        (tag, round(69.5 + 0.01 * at, 3), 1, "A1" if at == 3 else f"A{1 + at % 4}")
        for at, tag in enumerate(TEN)
    ]
    acts = shop.rows("SELECT DISTINCT act FROM entry WHERE action IN ('grind', 'move')")
    assert [row[0] for row in acts] == [got.act]


def in_a_workbook(*sheets: list[list[object]]) -> bytes:
    book, stream = Workbook(), BytesIO()
    for number, rows in enumerate(sheets):
        sheet = book.worksheets[0] if not number else book.create_sheet(f"more {number}")
        for row in rows:
            sheet.append(row)
    book.save(stream)
    return stream.getvalue()


def test_a_workbook_is_taken_as_a_text_file_is(shop: Session) -> None:
    rows: list[list[object]] = [["From the grinder, week 12"], ["tag", "length"]]
    rows += [[TEN[0], "69.5mm"], [TEN[1], "69.6mm"]]
    book = lines_of_sheet(in_a_workbook(rows), "back.xlsx", USUAL, "home")
    text = "From the grinder, week 12,\ntag,length\n" + f"{TEN[0]},69.5mm\n{TEN[1]},69.6mm\n"
    assert book == lines_of_sheet(text.encode(), "back.csv", USUAL, "home")
    assert [line.request.length for line in book] == ["69.5mm", "69.6mm"]
    with pytest.raises(BadInput, match="would not be read whole: the sheet 'more 1'"):
        lines_of_sheet(in_a_workbook(rows, rows), "back.xlsx", USUAL, "home")


def test_pairs_of_tag_and_length_go_in_one_act(shop: Session) -> None:
    got = record_words(shop, ["p 0200", "69.5mm", "P-0201", "69.6mm"], USUAL, "A4")
    assert isinstance(got, GroundList)
    assert [one[:3] for one in in_crib(shop)[:3]] == [
        ("P-0200", 69.5, 1),
        ("P-0201", 69.6, 1),
        ("P-0202", 70.0, 0),
    ]
    assert [(one.tag, one.to) for one in got.put_away] == [("P-0200", "A4"), ("P-0201", "A4")]


def test_one_piece_goes_to_its_drawer_with_its_grind(shop: Session) -> None:
    request = GrindRequest("", off="0.3mm")
    got = record_words(shop, [TEN[0]], request, "A3")
    assert isinstance(got, GroundList)
    assert in_crib(shop)[0] == (TEN[0], 69.7, 1, "A3")


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("P-0999,69mm,", "line 4: no piece with tag 'P-0999'"),
        ("P-0202,71mm,", " in is above 2."),
        ("P-0202,,", "line 4: P-0202: no length after the grind"),
        ("P-0202,69.5mm,Z9", "line 4: no place called 'Z9'"),
        ("P-0202,69.5mm,Ironworker 1 / punch", "line 4: P-0202: Ironworker 1 / punch is a station"),
        ("P-0200,69.4mm,", "line 4: P-0200 stands there twice"),
        (",69.4mm,", "line 4, tag: it is empty"),
    ],
)
def test_a_line_that_cannot_be_is_named_and_nothing_is_written(
    shop: Session, line: str, said: str
) -> None:
    before = in_crib(shop)
    text = f"tag,length,to\nP-0200,69.5mm,A4\nP-0201,69.6mm,\n{line}\n"
    with pytest.raises(BadRows) as raised:
        taken(shop, text)
    assert [said in str(fault) for fault in raised.value.faults] == [True]
    assert in_crib(shop) == before


def test_every_faulty_line_is_told_at_once(shop: Session) -> None:
    with pytest.raises(BadRows) as raised:
        taken(shop, "tag,length\nP-0200,99mm\nP-0201,69.6mm\nX,1mm\n")
    assert [fault.line for fault in raised.value.faults] == [2, 4]


def test_a_doubt_is_asked_once_for_all_the_lines_that_raise_it(shop: Session) -> None:
    before, text = in_crib(shop), "tag,length\nP-0200,67mm\nP-0201,69.6mm\nP-0202,66mm\n"
    with pytest.raises(AskBack) as raised:
        taken(shop, text)
    assert raised.value.confirm == "much-ground-off"
    assert raised.value.message.startswith("back.csv line 2: P-0200")
    assert [one.split(":")[0] for one in raised.value.told] == ["back.csv line 4"]
    assert in_crib(shop) == before
    sure = GrindRequest("", confirmed=frozenset({"much-ground-off"}))
    assert len(taken(shop, text, sure).ground.pieces) == 3


def test_a_tag_without_its_length_is_no_pair(shop: Session) -> None:
    with pytest.raises(Missing, match="P-0201: no length"):
        record_words(shop, ["P-0200", "69.5mm", "P-0201"], USUAL)
    with pytest.raises(BadInput):
        record_words(shop, ["P-0200", "P-0201"], USUAL, "home")


def test_the_whole_list_is_taken_back_as_one_act(shop: Session) -> None:
    before = in_crib(shop)
    got = taken(shop, "tag,length,to\nP-0200,69.5mm,A4\nP-0201,69.6mm,A4\n")
    undo_act(shop, got.act, "wrong list", confirmed=frozenset({"whole-act"}))
    assert in_crib(shop) == before
