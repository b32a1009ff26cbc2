"""A shop's own list: every line of it ends taken or told, whatever its headings and spellings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from crib.desk.tables.take_list import ListAnswers, TakenList, answers_of, take_list
from crib.errors import AskBack, BadRows, Missing, UnknownName
from crib.files.tables.shop_list import is_shop_list
from crib.stock.engine.session import Session
from crib.units import read_length_mm
from tests.shop import add_kind, add_seat, new_crib

# An inch shop's spreadsheet, kept by one man since long ago.
IRONWORKS = """\
Ridge Road Ironworks - tooling as of March,,,,,,
,,,,,,
Tool #,What,Size,Qty,Drawer,Condition,Bought,Vendor
12,Round punch,13/16,3,A3,good,3/15/2024,cousin
13,Rd die,27/32,1,A3,chipped,04/02/2024,
14,oblong punch,13/16 x 1-1/8,2,,at the grinder,,
15,shear blade,12 in,1,,,,
16,punch,"1/2 x 3/4",1,B1,ok,,
17,SQ DIE,.5,1,B1,lost,,
18,Hex punch,5/8,0,B1,good,,
19,round die,27/32,2,A3,needs a look,,
"""
# A metric shop: semicolons, commas in figures, days first, no tool numbers.
WERK = """\
Werkzeug;;;;
Description;Dim;Pcs;Location;State;Date
punch round;20,6 mm;2;Regal 1;ok;15.03.2024
die round;21,4mm;1;Regal 1;good;01.02.2023
punch rect;10mm x 20mm;1;Regal 2;broken;31/12/2022
die;round;1;Regal 2;ok;
nut;;4;Regal 3;;
bending tool;;1;;;
"""
# Everything in one column, as it was dictated.
DICTATED = """\
P-900 13/16 rd punch, qty 2, drawer A9, good, seat A
die 27/32 round 3 pcs bin B12 chipped
2 x 9/16 round punch
P-899 9/16 punch lost
something else
9/16 punch or 5/8
scrap die 1/2 round
"""


@pytest.fixture
def crib(tmp_path: Path) -> Iterator[Session]:
    with closing(new_crib(tmp_path / "new.crib")) as session:
        for seat in ("A", "B"):
            add_seat(session, seat)
        yield session


def written(tmp_path: Path, text: str, name: str = "tooling.csv") -> Path:
    (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path / name


ALL_A = answers_of(["A"], [], "", frozenset({"lines-left"}))


def pieces(crib: Session) -> list[tuple[str, ...]]:
    """Each piece in the crib: tag, kind, place, condition, the day it was bought."""
    sql = (
        "SELECT piece.tag, kind.name, coalesce(place.name, ''), piece.condition, piece.bought_on"
        " FROM piece JOIN kind ON kind.id = piece.kind_id"
        " LEFT JOIN place ON place.id = piece.place_id ORDER BY piece.id"
    )
    return [tuple(row) for row in crib.rows(sql)]


def require_sums(took: TakenList) -> None:
    assert took.taken + took.left == len(took.lines)
    assert took.left == sum(bool(line.left) for line in took.lines)
    assert sum(len(line.tags) for line in took.lines) == took.pieces
    assert all(bool(line.left) == (line.read is None) for line in took.lines)


def test_the_ironworks_list(crib: Session, tmp_path: Path) -> None:
    took = take_list(crib, written(tmp_path, IRONWORKS, "inventory.csv"), ALL_A)
    require_sums(took)
    # By hand: 12 (3), 13, 14 (2), 17 and 19 (2) are tools; 15, 16 and 18 are not to be taken.
    assert (len(took.lines), took.taken, took.left, took.pieces) == (8, 5, 3, 9)
    assert {line.line: line.left.split(":")[0] for line in took.lines if line.left} == {
        7: "shear",
        8: "1/2 x 3/4",
        10: "0 of them",
    }
    round_punch, round_die = "round punch 13/16 in, seat A", "round die 27/32 in, seat A"
    assert pieces(crib) == [
        ("12", round_punch, "A3", "sound", "2024-03-15"),
        ("20", round_punch, "A3", "sound", "2024-03-15"),
        ("21", round_punch, "A3", "sound", "2024-03-15"),
        ("13", round_die, "A3", "broken", "2024-04-02"),
        ("14", "obround punch 13/16 x 1-1/8 in, seat A", "grinder", "sound", ""),
        ("22", "obround punch 13/16 x 1-1/8 in, seat A", "grinder", "sound", ""),
        ("17", "square die 1/2 in, seat A", "B1", "lost", ""),
        ("19", round_die, "A3", "inspect", ""),
        ("23", round_die, "A3", "inspect", ""),
    ]
    assert crib.value("SELECT note FROM piece WHERE tag = '12'") == "Vendor: cousin"
    assert crib.value("SELECT note FROM piece WHERE tag = '19'") == "needs a look"
    assert crib.value("SELECT count(DISTINCT act) FROM entry") == 1


def test_the_metric_list(tmp_path: Path) -> None:
    with closing(new_crib(tmp_path / "mm.crib", "mm")) as crib:
        add_seat(crib, "A")
        took = take_list(crib, written(tmp_path, WERK), ALL_A)
        require_sums(took)
        # By hand: 2 + 1 + 1 tools of lines 3 to 5 and the 4 nuts; a die without a size, a tool
        # that no word names.
        assert (len(took.lines), took.taken, took.left, took.pieces) == (6, 4, 2, 8)
        assert Counter(row[2:] for row in pieces(crib)) == {
            ("Regal 1", "sound", "2024-03-15"): 2,
            ("Regal 1", "sound", "2023-02-01"): 1,
            ("Regal 2", "broken", "2022-12-31"): 1,
            ("Regal 3", "sound", ""): 4,
        }
        assert [row[0] for row in pieces(crib)[:4]] == ["P-0001", "P-0002", "D-0001", "P-0003"]


def test_the_dictated_list(crib: Session, tmp_path: Path) -> None:
    took = take_list(crib, written(tmp_path, DICTATED, "list.txt"), ALL_A)
    require_sums(took)
    # By hand: 2 + 3 + 2 + 1; the last three lines say too little, too much, or out of use.
    assert (len(took.lines), took.taken, took.left, took.pieces) == (7, 4, 3, 8)
    assert Counter((row[1], row[2], row[3]) for row in pieces(crib)) == {
        ("round punch 13/16 in, seat A", "A9", "sound"): 2,
        ("round die 27/32 in, seat A", "B12", "broken"): 3,
        ("round punch 9/16 in, seat A", "", "sound"): 2,
        ("round punch 9/16 in, seat A", "", "lost"): 1,
    }
    assert {row[0] for row in pieces(crib)} >= {"P-900", "P-901", "P-902", "P-903", "P-899"}


def answered(*seats: str, dates: str = "", leave: bool = False) -> ListAnswers:
    return answers_of(seats, [], dates, frozenset({"lines-left"} if leave else ()))


def test_what_is_not_said_is_asked_once_for_each_group(crib: Session, tmp_path: Path) -> None:
    text = "Tool #,What,Size,Bought\n1,punch,1/2,03/04/2024\n2,punch,5/8,\n3,die,5/8,\n4,x,y,\n"
    source = written(tmp_path, text)
    with pytest.raises(AskBack) as raised:
        take_list(crib, source, answered())
    assert (raised.value.choose, raised.value.told) == (
        "seat",
        ("round punches: 2", "round dies: 1"),
    )
    seats = ("Round  Punches=a", "B")
    with pytest.raises(AskBack) as raised:
        take_list(crib, source, answered(*seats))
    assert (raised.value.choose, raised.value.readings) == ("dates", ("us", "european"))
    with pytest.raises(AskBack) as raised:
        take_list(crib, source, answered(*seats, dates="european"))
    assert (raised.value.confirm, len(raised.value.told)) == ("lines-left", 1)
    assert pieces(crib) == []
    take_list(crib, source, answered(*seats, dates="european", leave=True))
    assert pieces(crib) == [
        ("1", "round punch 1/2 in, seat A", "", "sound", "2024-04-03"),
        ("2", "round punch 5/8 in, seat A", "", "sound", ""),
        ("3", "round die 5/8 in, seat B", "", "sound", ""),
    ]
    with pytest.raises(AskBack) as raised:
        take_list(crib, source, answered(*seats, dates="european", leave=True))
    assert raised.value.confirm == "typed-already"


def test_a_dry_run_shows_every_line_and_writes_nothing(crib: Session, tmp_path: Path) -> None:
    took = take_list(crib, written(tmp_path, IRONWORKS), answered(), dry_run=True)
    assert (took.taken, took.left, len(took.to_say)) == (5, 3, 2)
    assert take_list(crib, written(tmp_path, IRONWORKS), ALL_A, dry_run=True).to_say == ()
    assert pieces(crib) == []


def test_a_tag_that_is_there_twice_is_named_and_nothing_is_taken(
    crib: Session, tmp_path: Path
) -> None:
    text = "Tool #,What,Size,Drawer\n1,punch,1/2,A1\n1,punch,5/8,A1\n"
    with pytest.raises(BadRows) as raised:
        take_list(crib, written(tmp_path, text), ALL_A)
    assert [fault.line for fault in raised.value.faults] == [3]
    assert pieces(crib) == []
    assert crib.value("SELECT count(*) FROM kind") == 0


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("13/16 round punch not good", "its condition is denied"),
        ("2 13/16 round punch", "write it 2-13/16, or how many"),
        ("13/16 punch for 3/8 plate", "which is its size"),
        ("13/16 punch and die", "two words for its role"),
        ("1/2 x 1 punch", "say rectangle or obround"),
        ("round punch", "no size of the punch"),
        ("1/2 x 1 x 2 rect punch", "3 sizes"),
        ("1/2 slot punch", "it has two sizes"),
        ("13/16 round punch seat Q", "no seat called 'Q'"),
        ("201 x 1/2 round punch", "1 to 200 can be taken"),
    ],
)
def test_what_may_mean_two_things_is_left_and_told(
    crib: Session, tmp_path: Path, line: str, why: str
) -> None:
    took = take_list(crib, written(tmp_path, f"What\n{line}\n"), ALL_A)
    require_sums(took)
    assert why in took.lines[0].left
    assert pieces(crib) == []


@pytest.mark.parametrize(
    ("line", "condition"),
    [
        ("1/2 round punch good", "sound"),
        ("1/2 round punch ok?", "inspect"),
        ("1/2 round punch, some rust", "inspect"),
        ("1/2 round punch (crack)", "broken"),
        ("1/2 round punch missing", "lost"),
    ],
)
def test_conditions_are_read_in_peoples_words(
    crib: Session, tmp_path: Path, line: str, condition: str
) -> None:
    take_list(crib, written(tmp_path, f'What\n"{line}"\n'), ALL_A)
    assert [row[3] for row in pieces(crib)] == [condition]


def test_a_kind_that_is_there_is_taken_and_one_of_several_is_told(
    crib: Session, tmp_path: Path
) -> None:
    seat = crib.value("SELECT id FROM seat WHERE name = 'A'")
    for role, name in (("punch", "half"), ("die", "one"), ("die", "other")):
        add_kind(crib, role=role, width="1/2", name=name, seat_id=seat)
    took = take_list(crib, written(tmp_path, "What,Size\npunch,.5\ndie,1/2\n"), ALL_A)
    assert [row[1] for row in pieces(crib)] == ["half"]
    assert took.lines[1].left == "one of several kinds: one, other"


def test_a_table_with_a_slip_in_its_name_is_told_what_tables_are_called(
    crib: Session, tmp_path: Path
) -> None:
    with pytest.raises(AskBack, match=r"no line of peoples\.csv reads as a tool") as raised:
        take_list(crib, written(tmp_path, "name,role\nbench 2,saw\n", "peoples.csv"), answered())
    assert "named for it: people," in str(raised.value.way_out)


def test_a_workbook_is_read_as_a_file_is(crib: Session, tmp_path: Path) -> None:
    book = Workbook()
    page = book.create_sheet("Sheet", 0)
    for row in (["Our tools"], ["Tool #", "What", "Size", "Qty"], [7, "rd punch", "13/16", 2]):
        page.append(row)
    del book[book.sheetnames[1]]
    book.save(tmp_path / "tools.xlsx")
    assert is_shop_list(tmp_path / "tools.xlsx")
    took = take_list(crib, tmp_path / "tools.xlsx", ALL_A)
    assert [line.tags for line in took.lines] == [("7", "8")]


def test_a_seat_has_to_be_known(tmp_path: Path, crib: Session) -> None:
    source = written(tmp_path, "What,Size\npunch,1/2\n")
    with pytest.raises(UnknownName, match="no seat called 'Q'"):
        take_list(crib, source, answered("Q"))
    with closing(new_crib(tmp_path / "bare.crib")) as bare, pytest.raises(Missing, match="no seat"):
        take_list(bare, source, answered())


@pytest.mark.parametrize(
    ("name", "heading", "is_list"),
    [
        ("tooling.csv", "Tool #,What,Size,Qty,Drawer", True),
        ("inventory.csv", "Tool #,What,Size,Qty,Drawer", True),
        ("tools.csv", "Tool #,What,Size,Qty,Drawer", True),
        ("kinds.csv", "name,role,shape,size", False),
        ("pieces.csv", "tag,kind,drawer", False),
        ("people.csv", "name", False),
    ],
)
def test_a_list_is_told_from_a_table(
    tmp_path: Path, name: str, heading: str, is_list: bool
) -> None:
    assert is_shop_list(written(tmp_path, f"{heading}\n", name)) is is_list


ROLES = {"punch": ["punch", "Punches", "PUNCH"], "die": ["die", "Dies"], "": ["gadget", "chisel"]}
SHAPES = {"round": ["round", "rd", "Rnd.", ""], "square": ["sq", "SQUARE"], "hexagon": ["hex"]}
SIZES = {"0.5": ["1/2", ".5", '1/2"', "0.5 in", "½"], "0.8125": ["13/16", "13 / 16", "13⁄16"]}
HEADINGS = {
    "tag": ["Tool #", "TAG", "Tool No.", "ID"],
    "what": ["What", "Description", "tool"],
    "size": ["Size", "Dia.", "dim"],
    "count": ["Qty", "QTY.", "pcs", "Quantity"],
    "drawer": ["Drawer", "Location", "bin"],
    "extra": ["Vendor", "PO", "??"],
}
COUNTS = {1: ["1", "1 pc", "1.0"], 2: ["2", "2 Stk"], 3: ["3", "3 ea"], 0: ["0", "few", "-1", ""]}


@st.composite
def lists(draw: st.DrawFn) -> tuple[str, int, int, Counter[tuple[str, str, str]]]:
    """A list in some order of columns: its text, lines, lines left, pieces by role, shape, size."""
    order = draw(st.permutations(list(HEADINGS)))
    sign = draw(st.sampled_from(",;\t"))
    rows: list[Sequence[str]] = [["Shop tooling"]] * draw(st.integers(0, 2))
    rows.append([draw(st.sampled_from(HEADINGS[name])) for name in order])
    expected: Counter[tuple[str, str, str]] = Counter()
    count, left = draw(st.integers(1, 8)), 0
    for at in range(count):
        role, shape = draw(st.sampled_from(list(ROLES))), draw(st.sampled_from(list(SHAPES)))
        size, many = draw(st.sampled_from(list(SIZES))), draw(st.sampled_from(list(COUNTS)))
        words = [draw(st.sampled_from(SHAPES[shape])), draw(st.sampled_from(ROLES[role]))]
        line = {
            "tag": draw(st.sampled_from(["", f"K{at}"])),
            "what": " ".join(draw(st.permutations(words))).strip(),
            "size": draw(st.sampled_from(SIZES[size])),
            "count": draw(st.sampled_from(COUNTS[many])),
            "drawer": draw(st.sampled_from(["", "A1", "Top shelf"])),
            "extra": draw(st.sampled_from(["", "seen", "77"])),
        }
        rows.append([line[name] for name in order])
        if role and many:
            expected[role, shape, size] += many
        else:
            left += 1
    return "\n".join(_row(row, sign) for row in rows), count, left, expected


def _row(cells: Sequence[str], sign: str) -> str:
    return sign.join(f'"{cell.replace(chr(34), chr(34) * 2)}"' for cell in cells)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
@given(made=lists())
def test_no_line_is_lost_whatever_the_order_and_the_spellings(
    crib: Session, tmp_path: Path, made: tuple[str, int, int, Counter[tuple[str, str, str]]]
) -> None:
    text, count, left, expected = made
    took = take_list(crib, written(tmp_path, text), ALL_A, dry_run=True)
    require_sums(took)
    assert (len(took.lines), took.left) == (count, left), took.lines
    assert took.pieces == sum(expected.values())
    assert _read_again(took) == expected


def _read_again(took: TakenList) -> Counter[tuple[str, str, str]]:
    """What lines were read as, by role, shape and size in inches."""
    found: Counter[tuple[str, str, str]] = Counter()
    for line in took.lines:
        if line.read is not None:
            inches = read_length_mm(line.read.size, "in") / 25.4
            found[line.read.role, line.read.shape, f"{inches:g}"] += len(line.tags)
    return found


def test_a_list_in_german_is_taken_and_what_it_leaves_open_is_told(
    crib: Session, tmp_path: Path
) -> None:
    text = "Werkzeugliste;;;\nBezeichnung;Größe;Anzahl;Fach\nStempel;Ø18 mm;2 Stk;A1\n"
    text += "Matrize rund;18,5mm;1,0;A1\nStempel rund;20mm;;A2\nMatrize rund;20mm;1.000;A2\n"
    took = take_list(crib, written(tmp_path, text), ALL_A, dry_run=True)
    require_sums(took)
    read = [line.read for line in took.lines if line.read]
    assert [(one.role, one.shape, one.size, one.count) for one in read] == [
        ("punch", "round", "18 mm", 2),
        ("die", "round", "18.5mm", 1),
    ]
    assert [line.left.split(":")[0] for line in took.lines if line.left] == [
        "how many is left empty",
        "count '1.000' may be 1 or 1000",
    ]
