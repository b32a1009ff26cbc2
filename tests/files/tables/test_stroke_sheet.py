"""Stroke sheets as spreadsheets write them."""

from __future__ import annotations

from io import BytesIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from crib.errors import BadRows
from crib.files.tables.stroke_sheet import SheetRow, StrokeSheet, read_stroke_sheet

LINES = ["tag,count,thru,material", "P-0137,400,3/8,A36", "P-0140,60,1/2,"]
PLAIN = "\n".join(LINES) + "\n"


def read(text: str | bytes) -> StrokeSheet:
    data = text if isinstance(text, bytes) else text.encode()
    return read_stroke_sheet(data, "sheet.csv")


def test_a_plain_sheet_gives_its_lines_with_their_numbers() -> None:
    sheet = read(PLAIN)
    assert [line for line, _row in sheet.rows] == [2, 3]
    assert sheet.rows[0][1]._asdict() == {
        **dict.fromkeys(SheetRow._fields, ""),
        "tag": "P-0137",
        "strokes": "400",
        "thru": "3/8",
        "material": "A36",
    }


@pytest.mark.parametrize(
    "same",
    [
        PLAIN.encode("utf-8-sig"),
        PLAIN.encode("utf-16"),
        PLAIN.replace(",", ";").encode(),
        PLAIN.replace(",", "\t").encode(),
        PLAIN.replace(",", "|").encode(),
        PLAIN.replace("\n", "\r\n").encode(),
        PLAIN.replace("\n", "\r").encode(),
        PLAIN.rstrip().encode(),
        PLAIN.replace("\n", "\n\n,,,\n").encode(),
        PLAIN.replace(",", " , ").encode(),
        PLAIN.replace("P-", "p-").encode(),
        PLAIN.replace("tag,count,thru", "Punch;Hits;Thickness".replace(";", ",")).encode(),
        PLAIN.replace("tag,count", '"Tag","Qty."').encode(),
        b"sep=;\r\n" + PLAIN.replace(",", ";").encode(),
        "\n".join([LINES[0], LINES[1], "P-0140,60,1/2"]).encode(),
        "\n".join(f"{line}," for line in LINES).encode(),
    ],
)
def test_the_look_of_a_file_does_not_change_its_digest(same: bytes) -> None:
    assert read(same).digest == read(PLAIN).digest


@pytest.mark.parametrize(
    "other",
    [
        PLAIN.replace("400", "401"),
        PLAIN.replace("A36", "304"),
        "\n".join([LINES[0], LINES[2], LINES[1]]),
        PLAIN + LINES[1],
        PLAIN.replace("material", "job"),
        PLAIN.replace("P-0137,400", "P-0137 400,"),
    ],
)
def test_other_lines_have_another_digest(other: str) -> None:
    assert read(other).digest != read(PLAIN).digest


def test_every_column_has_its_place() -> None:
    sheet = read(
        "piece,strokes,thickness,grade,die tag,job,operator,date,notes,hit,dry,about,colour\n"
        'P-1,5,3/8,A36,D-1,J,nights,2026-03-05,"a, b",chain,yes,x,red\n'
    )
    assert sheet.rows[0][1] == SheetRow(
        *("P-1", "5", "3/8", "A36", "D-1", "J", "nights", "2026-03-05", "a, b", "chain", "yes", "x")
    )
    assert sheet.not_read == ("colour",)


def test_a_sheet_in_an_old_code_page_is_read() -> None:
    sheet = read("tag;count;note\nP-1;5;Größe 13\n".encode("cp1252"))
    assert sheet.rows[0][1].note == "Größe 13"


def test_a_cell_over_two_lines_keeps_the_numbers_right() -> None:
    sheet = read('tag,count,note\nP-1,5,"one\ntwo"\nP-2,6,\n')
    assert [line for line, _row in sheet.rows] == [2, 4]


@pytest.mark.parametrize(
    ("data", "fault"),
    [
        (b"", "no column tag and no column count; found: nothing"),
        (b"tag,thru\nP-1,3\n", "line 1: no column count; found: tag, thru"),
        (b"tag,count\n", "line 1: no line under the heading"),
        (b"tag,count,punch\nP-1,5,P-2\n", "line 1, punch: a second column for tag"),
        (b"tag,count\nP-1,5,7\nP-2,6\n", "line 2: 3 columns, the heading has 2"),
        (b"tag\0\0", "line 1: it is not text: save it as CSV"),
        (b'tag,count\n"' + b"x" * 140_000 + b'",5\n', "line 2: not to be read"),
    ],
)
def test_what_is_no_sheet_is_refused_with_its_line(data: bytes, fault: str) -> None:
    with pytest.raises(BadRows, match="nothing was taken") as caught:
        read(data)
    assert fault in str(caught.value.faults[0])


def test_every_line_that_does_not_fit_is_listed() -> None:
    with pytest.raises(BadRows, match="2 faults") as caught:
        read("tag,count\nP-1,5,7\nP-2,6\nP-3,6,8\n")
    assert [fault.line for fault in caught.value.faults] == [2, 4]


@given(
    rows=st.lists(
        st.tuples(
            st.sampled_from(["P-0137", "D-0201"]),
            st.integers(1, 999),
            st.sampled_from(["", "3/8", "10 mm"]),
            st.sampled_from(["", "2024-03-15"]),
        ),
        min_size=1,
        max_size=6,
    ),
    titles=st.integers(0, 2),
)
@settings(max_examples=30, deadline=None)
def test_a_workbook_is_the_same_sheet_as_csv(
    rows: list[tuple[str, int, str, str]], titles: int
) -> None:
    """Cell by cell, whatever its heading is called, so that it counts once in either form."""
    plain = "\n".join(",".join(map(str, row)) for row in [("tag", "count", "thru", "on"), *rows])
    book = Workbook()
    for _title in range(titles):
        book.worksheets[0].append(["Nachtschicht"])
    book.worksheets[0].append(["Werkzeug", "Anzahl", "Dicke", "Datum"])
    for tag, count, thru, on in rows:
        book.worksheets[0].append([tag, f"{count} Stk", thru, "15.3.2024" if on else ""])
    saved = BytesIO()
    book.save(saved)
    sheet = read_stroke_sheet(saved.getvalue(), "crib log sheet.xlsx")
    assert sheet.digest == read(plain.encode()).digest
    assert len(sheet.notes) == titles


@pytest.mark.parametrize(
    ("cells", "message"),
    [
        ([["P-1", None]], "count"),
        ([["P-1", "=12*2"]], "cells without a value"),
        ([["P-1", "1.000"]], "may be 1 or 1000"),
        ([["P-1", 5], ["P-2", None]], "one merged cell holds"),
    ],
)
def test_strokes_that_nobody_said_are_never_a_figure(
    cells: list[list[str | int | None]], message: str
) -> None:
    book = Workbook()
    book.worksheets[0].append(["tag", "count"])
    for row in cells:
        book.worksheets[0].append(row)
    if len(cells) > 1:
        book.worksheets[0].merge_cells("B2:B3")
    saved = BytesIO()
    book.save(saved)
    try:
        sheet = read_stroke_sheet(saved.getvalue(), "sheet.xlsx")
        told = f"count {[row.strokes for _line, row in sheet.rows]}"
    except BadRows as error:
        told = f"{error.message} {error.faults[0]}"
    assert message in told
    assert "count ['0']" not in told
