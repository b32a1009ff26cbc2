"""Labels read back from their PDF: the words, the codes module by module, and what must not fit."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import Any

import pytest
import segno
from pypdf import PageObject, PdfReader

from crib.acts import act, acts_in
from crib.errors import BadValue
from crib.files.paper.label_marks import DRAWN, LEAST_MODULE_MM, Ground, code_matrix, module_mm
from crib.files.paper.label_sheets import LABEL_SHEETS, LabelSheet, read_label_sheet
from crib.files.paper.labels import DrawerLabel, Label, LabelsMade, ToolLabel, labels_pdf
from crib.units import mm_from_inches
from tests.files.code_reading import read_code

SHEET = read_label_sheet("letter 3x10")
TOOL = ToolLabel("P-0137", "13/16 in", ("round punch, seat A", "punch, seat A"))
DIE = DrawerLabel(
    *("L5", "round", "disc", "27/32 in", ("round die, seat A", "die, seat A")),
    ("1/32 in clear over 13/16 in", "1/32 in clear"),
)
TAGS = ("P-0137", "D-0202", "A", "S-0502/B", "B-17", "P-137.A")
MM = mm_from_inches(1) / 72


def made(*labels: Label, sheet: LabelSheet = SHEET, **more: Any) -> LabelsMade:
    """The labels as a PDF."""
    return labels_pdf(labels, sheet, **more)


def sheets(done: LabelsMade) -> list[PageObject]:
    """The pages of it."""
    found = list(PdfReader(BytesIO(done.data)).pages)
    assert len(found) == done.pages
    return found


def words(done: LabelsMade) -> str:
    """All that is written."""
    return " ".join(" ".join(page.extract_text().split()) for page in sheets(done))


def black_boxes(page: PageObject) -> list[tuple[float, float, float, float]]:
    """The rectangles of a page: left, low, width, height in mm."""
    found: list[tuple[float, float, float, float]] = []

    def visit(operator: bytes, operands: Any, *_rest: object) -> None:
        if operator == b"re":
            left, low, width, height = (float(one) * MM for one in operands)
            found.append((left, low, width, height))

    page.extract_text(visitor_operand_before=visit)
    return found


def printed_matrix(page: PageObject) -> list[list[int]]:
    """The only code of a page, module by module, as its ink says."""
    boxes = black_boxes(page)
    module = min(height for *_rest, height in boxes)
    left = min(box[0] for box in boxes)
    top = max(box[1] + box[3] for box in boxes)
    side = round((top - min(box[1] for box in boxes)) / module)
    matrix = [[0] * side for _row in range(side)]
    for box_left, low, width, _height in boxes:
        row = round((top - low) / module) - 1
        first = round((box_left - left) / module)
        for column in range(first, first + round(width / module)):
            matrix[row][column] += 1
    return matrix


@pytest.mark.parametrize("tag", TAGS)
def test_the_printed_code_says_the_tag_and_nothing_else(tag: str) -> None:
    matrix = printed_matrix(sheets(made(ToolLabel(tag, "1/4 in", ("punch",))))[0])
    assert read_code(matrix) == tag


@pytest.mark.parametrize("tag", [*TAGS, "PUNCH-OF-THE-NORTH-BAY-0137"])
def test_the_printed_code_is_the_code_module_by_module(tag: str) -> None:
    sheet = read_label_sheet("letter 2x5")
    matrix = printed_matrix(sheets(made(ToolLabel(tag, "", ("punch",)), sheet=sheet))[0])
    wanted = segno.make_qr(tag, error="m").matrix
    assert matrix == [[int(bool(one)) for one in row] for row in wanted]


ADDRESS = "http://192.168.100.200:8321/piece/P-0137"


def test_a_code_holds_more_than_the_tag_where_that_is_said() -> None:
    done = made(replace(TOOL, code=ADDRESS))
    wanted = segno.make_qr(ADDRESS, error="m").matrix
    assert printed_matrix(sheets(done)[0]) == [[int(bool(one)) for one in row] for row in wanted]
    assert (words(done), done.short_codes) == (words(made(TOOL)), ())


def test_where_that_is_too_fine_the_code_holds_the_tag_alone_and_that_is_told() -> None:
    low = read_label_sheet("letter 4x20")
    for label, name in ((TOOL, "P-0137"), (DIE, "L5")):
        done = made(replace(label, code=ADDRESS * 2), sheet=low)
        assert read_code(printed_matrix(sheets(done)[0])) == name
        assert done.short_codes == (name,)


@pytest.mark.parametrize("sheet", LABEL_SHEETS, ids=lambda sheet: sheet.name)
def test_a_code_has_its_quiet_zone_inside_its_label(sheet: LabelSheet) -> None:
    boxes = black_boxes(sheets(made(TOOL, sheet=sheet))[0])
    module = min(height for *_rest, height in boxes)
    assert module >= LEAST_MODULE_MM - 1e-6
    quiet = 4 * module - 1e-3
    top_mm = sheet.paper_mm[1] - sheet.top_mm
    assert min(left for left, *_rest in boxes) >= sheet.left_mm + quiet
    assert max(low + height for _left, low, _width, height in boxes) <= top_mm - quiet
    assert min(low for _left, low, *_rest in boxes) >= top_mm - sheet.height_mm + quiet


def test_a_tool_label_says_tag_size_and_kind() -> None:
    assert words(made(TOOL)) == "P-0137 13/16 in round punch, seat A"


def test_a_drawer_label_says_its_drawer_first_then_size_kind_and_clearance() -> None:
    assert words(made(DIE)) == "L5 27/32 in round die, seat A 1/32 in clear over 13/16 in"


@pytest.mark.parametrize("drawer", ["L5", "K3", "PRESS SIDE 12"])
def test_a_drawer_labels_code_says_its_drawer(drawer: str) -> None:
    label = DrawerLabel(drawer, "special", "", "1 in", ("die",))
    assert read_code(printed_matrix(sheets(made(label))[0])) == drawer


def test_a_drawer_whose_code_is_too_fine_has_its_name_alone_and_that_is_told() -> None:
    label = DrawerLabel("the long cabinet " * 4, "special", "", "1 in", ("die",))
    done = made(label, sheet=read_label_sheet("letter 4x20"))
    assert black_boxes(sheets(done)[0]) == []
    assert label.drawer in done.shortened


@pytest.mark.parametrize("sheet", LABEL_SHEETS, ids=lambda sheet: sheet.name)
@pytest.mark.parametrize("label", [TOOL, DIE], ids=["tool", "drawer"])
def test_nothing_is_printed_at_the_papers_edge(sheet: LabelSheet, label: Label) -> None:
    page = sheets(made(*[label] * sheet.count, sheet=sheet))[0]
    starts: list[tuple[float, float]] = []

    def visit(text: str, _matrix: Any, at: list[float], *_rest: object) -> None:
        if text.strip():
            starts.append((at[4] * MM, at[5] * MM))

    page.extract_text(visitor_text=visit)
    boxes = black_boxes(page)
    width_mm, height_mm = sheet.paper_mm
    spans = [(left, left + wide, low, low + high) for left, low, wide, high in boxes]
    spans += [(x, x, y, y) for x, y in starts]
    assert min(min(left, width_mm - right) for left, right, _low, _top in spans) >= 5.0
    assert min(min(low, height_mm - top) for _left, _right, low, top in spans) >= 5.0


def test_a_size_is_written_as_large_as_a_tag() -> None:
    sizes: dict[str, float] = {}

    def visit(text: str, _matrix: Any, at: list[float], _font: Any, size: float) -> None:
        sizes[text.strip()] = size * at[0]

    sheets(made(TOOL))[0].extract_text(visitor_text=visit)
    assert sizes["13/16 in"] >= sizes["P-0137"] > sizes["round punch, seat A"]


def test_a_shorter_wording_is_taken_where_the_long_one_does_not_fit() -> None:
    done = made(DIE, sheet=read_label_sheet("a4 4x10 25x25.4 every 48.5x25.4"))
    assert words(done) == "L5 27/32 in die, seat A 1/32 in clear"
    assert done.shortened == ()


def test_words_that_fit_in_no_wording_end_in_an_ellipsis_and_are_told() -> None:
    long = "saddle set, 1-1/4 in pipe, schedule 40, for the rails of the north bay and more"
    done = made(ToolLabel("S-1", "1.66 in", (long,)), ToolLabel("S-2", "1.66 in", (long,)))
    assert "saddle set, 1-1/4 in pipe" in words(done)
    assert "and more" not in words(done)
    assert "…" in words(done)
    assert done.shortened == (long,)


def test_a_clearance_that_does_not_fit_is_left_off_whole() -> None:
    label = DrawerLabel("L5", "round", "disc", "1 in", ("die",), ("x" * 60,))
    done = made(label)
    assert words(done) == "L5 1 in die"
    assert done.shortened == ("x" * 60,)


def test_a_tool_without_a_size_has_its_kind_on_two_rows() -> None:
    label = ToolLabel("B-1", "", ("flat shear blade, upper, for the long side of the bed",))
    done = made(label)
    assert done.shortened == ()
    assert words(done) == f"B-1 {label.what[0]}"


@pytest.mark.parametrize("shape", [*DRAWN, "special", ""])
@pytest.mark.parametrize("ground", ["", "disc", "block"])
def test_every_shape_is_drawn_and_one_without_a_picture_is_left_out(
    shape: str, ground: Ground
) -> None:
    done = made(DrawerLabel("L5", shape, ground, "1 in", ("tool",)))
    assert words(done) == "L5 1 in tool"
    filled: list[bytes] = []

    def visit(operator: bytes, *_rest: object) -> None:
        filled.append(operator)

    sheets(done)[0].extract_text(visitor_operand_before=visit)
    fills = sum(filled.count(one) for one in (b"f", b"f*"))
    assert (fills > 1) == (shape in DRAWN), "the first is the code"


@pytest.mark.parametrize(
    ("label", "said"),
    [
        (ToolLabel("P" * 30, "1 in", ("punch",)), "'PPPPPPPPPP.* needs 49 mm, the label has"),
        (ToolLabel("P-1", "1 in x " * 9, ("punch",)), "needs .* mm, the label has"),
    ],
)
def test_a_tag_or_size_that_does_not_fit_whole_is_refused(label: Label, said: str) -> None:
    with pytest.raises(BadValue, match=said) as caught:
        made(label)
    assert acts_in(caught.value.way_out) == (act("say.sheet"),)


def test_a_code_too_fine_for_a_phone_is_refused() -> None:
    low = read_label_sheet("letter 4x20")
    with pytest.raises(BadValue, match=r"the code of 'PPPP.*' needs 13.5 mm, the label has 12.7"):
        made(ToolLabel("P" * 70, "", ("punch",)), sheet=low)


@pytest.mark.parametrize(
    ("room_mm", "size_mm"), [(9.57, 0.33), (14.5, 0.5), (23.2, 0.8), (40.0, 0.8)]
)
def test_modules_are_as_large_as_the_room_allows(room_mm: float, size_mm: float) -> None:
    assert module_mm(21, room_mm, "P-1") == pytest.approx(size_mm)


def test_modules_below_the_least_are_refused() -> None:
    with pytest.raises(BadValue, match=r"the code of 'P-1' needs 9.6 mm, the label has 9.5 mm"):
        module_mm(21, 9.5, "P-1")


def test_a_short_tag_has_the_best_error_correction_that_its_code_holds() -> None:
    assert len(code_matrix("P-0137")) == 21
    assert segno.make_qr("P-0137", error="m").error == "H"


def test_a_tag_with_signs_that_cannot_be_printed_is_refused() -> None:
    with pytest.raises(BadValue, match="the tag 'Ж-1' has signs that the label's font lacks"):
        made(ToolLabel("Ж-1", "", ("punch",)))


def test_used_labels_are_skipped_and_the_rest_goes_on_to_more_sheets() -> None:
    done = made(*[TOOL] * 28, skip=3)
    assert done.pages == 2
    first, second = sheets(done)
    assert first.extract_text().count("P-0137") == 27
    assert second.extract_text().count("P-0137") == 1
    top_mm = SHEET.paper_mm[1] - SHEET.top_mm - SHEET.height_mm
    assert max(low for _left, low, *_rest in black_boxes(first)) < top_mm


def test_frames_stand_round_each_label() -> None:
    boxes = black_boxes(sheets(made(DIE, DIE, frames=True))[0])
    framed = [box for box in boxes if box[2] == pytest.approx(SHEET.width_mm, abs=0.01)]
    assert len(framed) == 2
    assert framed[0][0] == pytest.approx(SHEET.left_mm, abs=0.01)


def test_nothing_to_print_is_refused() -> None:
    with pytest.raises(BadValue, match="there are no labels to print"):
        made()


def test_the_same_labels_give_the_same_bytes() -> None:
    assert made(TOOL, DIE).data == made(TOOL, DIE).data
