"""Lists of what parts need, as CSV and as workbooks."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from crib.errors import BadInput, BadRows
from crib.features.common.plate_phrase import Reading
from crib.features.registry import read_phrase
from crib.files.drawings import part_list
from crib.files.drawings.part_list import read_part_list
from crib.files.drawings.parts import PartsRead, phrase_of
from crib.trade.shop.shop_rules import Rules

INCH = Reading(Rules.defaults())

PHRASES = (
    "hole 13/16 thru 3/8 A36",
    "square 1/2 thru 1/4 A36",
    "hexagon 5/8 thru 1/4 A36",
    "rectangle 1/2 x 2 thru 1/4 A36",
    "slot 22mm x 50mm thru 12mm S275",
    "notch 3 x 2 thru 1/4 A36",
    "corner 2 x 3 thru 1/4 A36",
    "vee 2 thru 1/4 A36 at 60",
)


def listed(
    folder: Path, text: str | bytes, name: str = "list.csv", quantity: int | None = None
) -> PartsRead:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_part_list(path, INCH, quantity=quantity)


def test_a_line_is_a_feature_with_its_quantity_and_mark(tmp_path: Path) -> None:
    text = "mark;Qty;Phrase\nP-7;24;hole 13/16 thru 3/8 A36\n;1;slot 22mm x 50mm thru 12mm\n"
    result = listed(tmp_path, text)
    assert [(part.mark, part.quantity, part.material) for part in result.parts] == [
        ("P-7", 24, "A36"),
        ("", 1, ""),
    ]
    hole, slot = (part.features[0] for part in result.parts)
    assert (hole.feature, hole.size_mm, hole.thickness_mm) == ("hole", 20.6375, 9.525)
    assert (slot.shape, slot.size_mm, slot.long_mm) == ("obround", 22.0, 50.0)
    assert result.notes == ()


@pytest.mark.parametrize("phrase", PHRASES)
def test_a_phrase_comes_back_as_the_same_ask(tmp_path: Path, phrase: str) -> None:
    (part,) = listed(tmp_path, f"phrase\n{phrase}\n").parts
    again = phrase_of(part.features[0], part.material, "in")
    assert read_phrase(again, INCH) == read_phrase(phrase, INCH)


@given(
    rows=st.lists(
        st.tuples(st.sampled_from(PHRASES), st.integers(1, 9999), st.sampled_from(["", "P-1"])),
        min_size=1,
        max_size=12,
    ),
    ending=st.sampled_from([".csv", ".xlsx"]),
)
@settings(max_examples=30, deadline=None)
def test_a_written_list_is_read_back(
    tmp_path_factory: pytest.TempPathFactory, rows: list[tuple[str, int, str]], ending: str
) -> None:
    path = tmp_path_factory.mktemp("list") / f"list{ending}"
    lines = [("phrase", "quantity", "mark"), *rows]
    if ending == ".csv":
        path.write_text("".join(f"{a},{b},{c}\n" for a, b, c in lines))
    else:
        book = Workbook()
        for line in lines:
            book.worksheets[0].append(list(line))
        book.save(path)
    parts = read_part_list(path, INCH).parts
    assert [(p.text_lines[0], p.quantity, p.mark) for p in parts] == rows


def test_a_bolt_is_its_hole(tmp_path: Path) -> None:
    text = (
        "phrase\nbolt 3/4 per AISC 360-22 thru 1/2\nbolt 3/4 short slot per AISC 360-22 thru 1/2\n"
    )
    found = [part.features[0] for part in listed(tmp_path, text).parts]
    assert [(one.feature, one.shape) for one in found] == [("hole", "round"), ("slot", "obround")]
    assert found[0].size_mm == 20.6375


@pytest.mark.parametrize(
    "phrase",
    [
        "bolt 3/4 per AISC 360-22 thru 1/2",
        "bolt M20  oversize per EN 1090-2 thru 12mm S355",
        "hole 13/16 thru 3/8 A36 edge 1-1/4 pitch 3",
    ],
)
def test_a_phrase_comes_back_as_it_was_written(tmp_path: Path, phrase: str) -> None:
    (part,) = listed(tmp_path, f"phrase\n{phrase}\n").parts
    again = phrase_of(part.features[0], part.material, "mm")
    assert again == " ".join(phrase.split())
    assert read_phrase(again, INCH) == read_phrase(phrase, INCH)


def test_each_is_how_often_it_is_in_one_piece(tmp_path: Path) -> None:
    text = "phrase,qty,per piece\nhole 1/2 thru 1/4,24,4\nhole 1/2 thru 1/4,3,1\n"
    parts = listed(tmp_path, text).parts
    assert [(part.quantity, len(part.features)) for part in parts] == [(24, 4), (3, 1)]


@pytest.mark.parametrize("each", [0, 10_001])
def test_each_has_its_limits(tmp_path: Path, each: int) -> None:
    with pytest.raises(BadRows, match=f"line 2, each: {each} must be 1 to 10000"):
        listed(tmp_path, f"phrase,each\nhole 1/2 thru 1/4,{each}\n")


def test_a_line_without_a_quantity_has_the_one_given(tmp_path: Path) -> None:
    text = "phrase,quantity\nhole 1/2 thru 1/4,\nhole 1/2 thru 1/4,5\n"
    assert [part.quantity for part in listed(tmp_path, text, quantity=3).parts] == [3, 5]


@pytest.mark.parametrize(
    "phrase",
    [
        "cut angle 3 x 3 x 1/4 at 45",
        "cut flat 4 x 3/8 A36",
        "saddle 1-1/2 pipe sch 40",
        "bend 10 x 1/4 at 90",
        "point 3/4",
    ],
)
def test_what_cuts_no_opening_is_a_line_like_any_other(tmp_path: Path, phrase: str) -> None:
    result = listed(
        tmp_path, f"phrase,quantity,each,mark\nhole 1/2 thru 1/4,1,1,A\n{phrase},8,2,B\n"
    )
    assert result.notes == ()
    _hole, part = result.parts
    assert (part.mark, part.quantity, [one.asked for one in part.features]) == (
        "B",
        8,
        [phrase] * 2,
    )
    assert not part.features[0].can_be_asked


def test_every_faulty_line_is_listed(tmp_path: Path) -> None:
    text = (
        "phrase,quantity\nhole 1/2 thru,1\nhole 1/2 thru 1/4,x\n,4\n"
        "hole 1/2 thru 1/4,0\nhole 1/2 thru 1/4 moonstone,1\nhole 1/2 thru 1/4,1\n"
    )
    with pytest.raises(BadRows, match=r"list\.csv line \d.* and 4 more") as caught:
        listed(tmp_path, text)
    found = sorted((fault.line, fault.column) for fault in caught.value.faults)
    assert found == [(2, "phrase"), (3, "quantity"), (4, "phrase"), (5, "quantity"), (6, "phrase")]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (b"", "is empty"),
        (b"\0\1\2\3", "is not text"),
        (b"size,colour\n1,red\n", "no such column"),
        (b"phrase\n", "no line under the heading"),
        (b'phrase\n"hole\n', "not a sound CSV file"),
    ],
)
def test_what_is_no_list_is_one_error(tmp_path: Path, text: bytes, message: str) -> None:
    with pytest.raises(BadInput, match=message):
        listed(tmp_path, text)


def test_a_workbook_that_is_none_is_one_error(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="is not a workbook that can be read"):
        listed(tmp_path, b"PK\3\4 nothing", "list.xlsx")


def test_further_sheets_are_noted(tmp_path: Path) -> None:
    book = Workbook()
    for number, page in enumerate([book.worksheets[0], book.create_sheet("old")]):
        page.append(("phrase",))
        page.append((f"hole {number + 1}/2 thru 1/4",))
    book.save(tmp_path / "list.xlsx")
    result = read_part_list(tmp_path / "list.xlsx", INCH)
    assert [part.features[0].size_mm for part in result.parts] == [12.7]
    assert [note.text for note in result.notes] == ["only the first sheet is read, not 'old'"]


def test_a_list_that_is_too_large_or_not_there_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(BadInput, match="there is no file at"):
        read_part_list(tmp_path / "list.csv", INCH)
    monkeypatch.setattr(part_list, "MOST_BYTES", 10)
    with pytest.raises(BadInput, match="a list has at most"):
        listed(tmp_path, "phrase\nhole 1/2 thru 1/4\n")


_HEADINGS = {
    "mark": ["mark", "Pos", "Part", "Teil"],
    "size": ["Dia (mm)", "Ø mm", "Durchmesser [mm]", "size mm"],
    "thickness": ["Thk (mm)", "t mm", "Blechdicke [mm]", "Dicke mm"],
    "material": ["Grade", "Material", "Werkstoff", "Güte"],
    "quantity": ["Qty", "Anzahl", "Stück", "Menge"],
    "weight": ["Weight kg", "Gewicht"],
}


@given(data=st.data())
@settings(max_examples=40, deadline=None)
def test_a_list_in_the_shops_own_dialect_is_read_whole(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    """Whatever its titles, headings, signs and code page: the same parts, all lines in the sums."""
    names = data.draw(st.permutations(list(_HEADINGS)))
    headings = [data.draw(st.sampled_from(_HEADINGS[name])) for name in names]
    rows = data.draw(
        st.lists(st.tuples(st.integers(60, 400), st.integers(1, 999)), min_size=1, max_size=5)
    )
    comma, word = data.draw(st.sampled_from([",", "."])), data.draw(st.sampled_from(["", " Stk"]))
    titles = data.draw(st.integers(0, 2))
    lines = [["Stückliste", "", "", "", "", ""]] * titles + [headings]
    for number, (tenths, quantity) in enumerate(rows):
        cells = {
            "mark": f"P-{number}",
            "size": f"Ø{tenths // 10}{comma}{tenths % 10}",
            "thickness": f"10{comma}0",
            "material": "S355",
            "quantity": f"{quantity}{word}",
            "weight": "7,5",
        }
        lines.append([cells[name] for name in names])
    path = tmp_path_factory.mktemp("list") / f"list{data.draw(st.sampled_from(['.csv', '.xlsx']))}"
    if path.suffix == ".csv":
        code = data.draw(st.sampled_from(["utf-8", "utf-16", "cp1252"]))
        sign = data.draw(st.sampled_from([";", "\t"]))
        path.write_bytes("\n".join(sign.join(cells) for cells in lines).encode(code))
    else:
        book = Workbook()
        for cells_of_line in lines:
            book.worksheets[0].append(cells_of_line)
        book.save(path)
    read = read_part_list(path, INCH)
    assert [(part.mark, part.quantity, part.material) for part in read.parts] == [
        (f"P-{number}", quantity, "S355") for number, (_tenths, quantity) in enumerate(rows)
    ]
    assert [part.features[0].size_mm for part in read.parts] == [tenths / 10 for tenths, _ in rows]
    sums = read.accounts[0].sums()
    assert (sums["counted"], sums["told"]) == (len(rows), titles + 1)
    assert any("is not read" in note.text for note in read.notes)


def test_tables_under_each_other_are_read_by_their_own_headings(tmp_path: Path) -> None:
    text = "mark,phrase,qty\nA,hole 1/2 thru 1/4,2\nPlate 2,,\n"
    text += "qty,phrase,mark\n3,hole 5/8 thru 1/4,B\n"
    read = listed(tmp_path, text)
    assert [(part.mark, part.quantity) for part in read.parts] == [("A", 2), ("B", 3)]
    assert [note.text for note in read.notes] == ["set aside above the heading: Plate 2"]


def test_a_table_has_the_doubts_of_its_own_columns(tmp_path: Path) -> None:
    text = "mark,phrase\nA,hole 1/2 thru 1/4\nmark,phrase,qty\nB,hole 5/8 thru 1/4,\n"
    with pytest.raises(BadRows, match="line 4, quantity: it is empty"):
        listed(tmp_path, text)


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
@pytest.mark.parametrize(("column", "help_"), [("quantity", "say.quantity"), ("each", "write 1")])
def test_a_count_that_is_left_empty_is_asked_for(
    tmp_path: Path, ending: str, column: str, help_: str
) -> None:
    path = tmp_path / f"list{ending}"
    rows = [["phrase", column], ["hole 1/2 thru 1/4", ""], ["hole 1/2 thru 1/4", "5"]]
    if ending == ".csv":
        path.write_text("\n".join(",".join(row) for row in rows))
    else:
        book = Workbook()
        for row in rows:
            book.worksheets[0].append(row)
        book.save(path)
    with pytest.raises(BadRows, match=f"line 2, {column}: it is empty") as caught:
        read_part_list(path, INCH)
    assert help_ in str(caught.value.faults[0])


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ("18mm,50mm,,1/4,A36", "long: two sizes: say slot or rectangle"),
        (",,,1/4,A36", "size: it is empty; write a size, or a phrase"),
        (",50mm,hole 1/2,1/4,A36", "long: the other size stands here, and no size"),
        ("18mm,,hole 1/2,1/4,A36", "phrase: 'hole 1/2' beside a size must be hole, slot"),
        ("18mm,,,1/4,MS", "size: .*'MS' may be one of several materials"),
        ("18,,,10mm,A36", "size: "),
    ],
)
def test_what_a_row_lacks_or_says_twice_is_told(tmp_path: Path, row: str, message: str) -> None:
    with pytest.raises(BadRows, match=message):
        listed(tmp_path, f"size,long,what,thk,grade,qty\n{row},1\n")


def test_a_phrase_takes_thickness_and_grade_from_their_columns(tmp_path: Path) -> None:
    (part,) = listed(tmp_path, "what,thk,grade,qty\nslot 13/16 x 2,3/8,A572-50,4\n").parts
    assert part.features[0].asked == "slot 13/16 x 2 thru 3/8 A572-50"
    with pytest.raises(BadRows, match="thickness: 1/2 stands here, and the phrase says"):
        listed(tmp_path, "what,thk\nhole 13/16 thru 3/8,1/2\n")


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("hole 1/2 thru 1/4,mild", ["material 'mild' is read as A36"]),
        ("hole 1/2 thru 1/4 mild steel,", ["material 'mild steel' is read as A36"]),
        ("hole 1/2 thru 1/4 A36,", []),
        ("hole 1/2 thru 1/4,S275", []),
        ("hole 1/2 thru 1/4,Galvanized", []),
    ],
)
def test_a_grade_said_by_a_word_is_told_to_be_read_as_which(
    tmp_path: Path, row: str, said: list[str]
) -> None:
    read = listed(tmp_path, f"what,grade,qty\n{row},3\n{row},4\n")
    assert [note.text for note in read.notes if "read as" in note.text] == said


def test_a_point_before_three_figures_is_asked_about_where_commas_are_decimals(
    tmp_path: Path,
) -> None:
    """1.200 is 1200 to whoever writes 20,5; in a list with points it is 1.2 as ever."""
    head = "Durchmesser [mm];Dicke [mm];Güte;Anzahl\n"
    with pytest.raises(BadRows, match=r"line 3, size: .*say `hole 1200mm .* or `hole 1\.200mm"):
        listed(tmp_path, f"{head}20,5;10,0;S355;2\n1.200;10,0;S355;2\n")
    read = listed(tmp_path, f"{head}20,5;10,0;S355;2\n1.200,5;10,0;S355;2\n")
    assert [part.features[0].size_mm for part in read.parts] == [20.5, 1200.5]
    (part,) = listed(tmp_path, f"{head}21.200;10.0;S355;2\n").parts
    assert part.features[0].size_mm == 21.2


def test_a_heading_that_is_not_known_can_be_named(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("hole,Los,qty\nhole 1/2 thru 1/4,P-7,3\n")
    read = read_part_list(path, INCH, named={"hole": "phrase", "los": "mark"})
    assert [(part.mark, part.quantity) for part in read.parts] == [("P-7", 3)]


_PIECES_OF_LISTS = st.sampled_from(
    [
        "phrase",
        "qty",
        "Ø mm",
        "Pos",
        "Thk",
        "kg",
        "hole 1/2 thru 1/4",
        "24 Stk",
        "1.000",
        "P-7",
        "18",
        ",",
        ";",
        "\n",
        "\n",
        ",",
        '"',
        "",
        "S355",
        "10,5",
        "=1+1",
        "Total",
    ]
)


@given(pieces=st.lists(_PIECES_OF_LISTS, min_size=1, max_size=40))
@settings(max_examples=200, deadline=None)
@example(pieces=["phrase", ",", "kg", ",", "kg", ",", "qty", "\n"])
def test_any_list_is_one_error_or_all_its_lines_are_accounted_for(
    tmp_path_factory: pytest.TempPathFactory, pieces: list[str]
) -> None:
    """A fault of the reader itself, such as a row that is met twice, is no answer."""
    path = tmp_path_factory.mktemp("list") / "list.csv"
    path.write_text("".join(pieces))
    try:
        read = read_part_list(path, INCH)
    except BadInput:
        return
    sums = read.accounts[0].sums()
    assert sums["met"] == sums["counted"] + sums["merged"] + sums["told"] + sums["blank"]
    assert sums["counted"] == len(read.parts)
