"""Part files to a count by size, with and without a crib."""

from __future__ import annotations

import re
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.acts import act, acts_in, saying
from crib.desk.book.shop_rules import change_rule
from crib.desk.parts.parts_count import PartsCount
from crib.desk.parts.read_parts import ReadRequest, read_parts
from crib.errors import (
    AskBack,
    BadInput,
    BadPhrase,
    BadRows,
    BadValue,
    ReadingFault,
    UnknownName,
)
from crib.features.common.plate_phrase import Reading
from crib.features.registry import read_phrase
from crib.files.common.reading_ledger import FileAccount, ReadingLedger
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.trade.shop.shop_rules import Rules
from tests.files.dxf_text import plate, text_of
from tests.files.nc1_text import SLOT, holes, nc1
from tests.shop import new_crib

LIST = "phrase,quantity,mark\nhole 1/2 thru 1/4 A36,6,L-1\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A drawing in inches with four holes, one without a unit, an NC file, and a list."""
    for unit, name in ((1, "bracket.dxf"), (0, "bare.dxf")):
        document = plate(12.0, 6.0, unit=unit)
        for x in (9.0, 10.0, 11.0, 12.0):
            document.modelspace().add_circle((x, 5.0), 13 / 32)
        (tmp_path / name).write_text(text_of(document))
    (tmp_path / "part.nc1").write_text(nc1(holes(SLOT, "  v 20 20 22"), quantity=4))
    (tmp_path / "list.csv").write_text(LIST)
    return tmp_path


def read(folder: Path, *names: str, **told: Any) -> PartsCount:
    return read_parts(None, ReadRequest(tuple(folder / name for name in names), **told))


def lines(count: PartsCount) -> list[tuple[str, int, int, int, str]]:
    return [(one.mark, one.each, one.parts, one.total, one.phrase) for one in count.lines]


def test_a_drawing_is_counted_for_every_piece(folder: Path) -> None:
    count = read(folder, "bracket.dxf", thickness="3/8", material="a36", quantity=3)
    assert lines(count) == [("bracket", 4, 3, 12, "hole 13/16 thru 3/8 A36")]


def test_several_files_are_read_one_after_the_other(folder: Path) -> None:
    count = read(folder, "part.nc1", "list.csv", unit="mm")
    assert lines(count) == [
        ("P-1", 1, 4, 4, "slot 22mm x 50mm thru 12mm S275"),
        ("P-1", 1, 4, 4, "hole 22mm thru 12mm S275"),
        ("L-1", 1, 6, 6, "hole 12.7mm thru 6.35mm A36"),
    ]
    assert all(note.text.startswith("part.nc1: ") for note in count.read.notes)


def test_the_json_is_what_was_read_and_what_to_look_at(folder: Path) -> None:
    made = read(folder, "bracket.dxf").as_json()
    assert (made["findings"], made["drawing"], made["not_read"]) == ([], None, [])
    assert made["ledger"]["met"] == made["ledger"]["counted"] == 5


def test_holes_of_a_drawing_that_are_too_near_each_other_are_found(folder: Path) -> None:
    count = read(folder, "bracket.dxf", thickness="3/8")
    # The holes are an inch apart: 3/16 in of metal is left between them, half of the thickness.
    assert {(one.mark, one.finding.rule, one.finding.verdict) for one in count.findings} == {
        ("bracket", "metal to pitch", "refuse")
    }
    (line,) = count.to_look_at
    assert line.startswith("STOP, bracket: 4 x hole 13/16 in, the first at x 2 in, y 2 in: 3/16 in")


def test_a_size_odd_in_inches_is_shown_in_millimetres(folder: Path) -> None:
    shown = [line.phrase for line in read(folder, "part.nc1").lines]
    assert shown == ["slot 22mm x 50mm thru 12mm S275", "hole 22mm thru 12mm S275"]
    for phrase in shown:
        assert read_phrase(phrase, Reading(Rules.defaults())).plate.thickness_mm == 12.0


def test_a_gauge_is_a_thickness(folder: Path) -> None:
    (line,) = read(folder, "bracket.dxf", thickness="10ga").lines
    assert line.phrase == "hole 13/16 thru 0.1345in"


def test_a_thickness_nobody_said_is_a_question_mark(folder: Path) -> None:
    count = read(folder, "bracket.dxf")
    assert [line.phrase for line in count.lines] == ["hole 13/16 thru ?"]
    assert [note.text for note in count.read.notes] == [
        "the drawing does not say the thickness: say it"
    ]


def test_the_crib_gives_its_unit_and_its_material(folder: Path) -> None:
    session = new_crib(folder / "shop.crib", "mm")
    request = ReadRequest((folder / "bracket.dxf",), thickness="10")
    count = read_parts(session, request)
    session.close()
    assert [line.phrase for line in count.lines] == ["hole 20.6375mm thru 10mm S275"]
    assert "no material said: read as S275, the default" in [n.text for n in count.read.notes]


def test_bare_numbers_are_in_the_unit_told_and_the_answer_in_the_cribs(folder: Path) -> None:
    session = new_crib(folder / "shop.crib", "in")
    request = ReadRequest((folder / "bare.dxf",), unit="in", thickness="0.5", material="A36")
    metric = ReadRequest((folder / "bare.dxf",), unit="mm", thickness="12.7", material="A36")
    counts = [read_parts(session, one) for one in (request, metric)]
    session.close()
    assert [line.phrase for line in counts[0].lines] == ["hole 13/16 thru 1/2 A36"]
    assert [line.phrase for line in counts[1].lines] == ["hole 0.8125mm thru 1/2 A36"]


def test_a_drawing_without_a_unit_is_asked_about(folder: Path) -> None:
    with pytest.raises(AskBack, match="does not say its unit"):
        read(folder, "bare.dxf")


def test_where_a_slots_place_lies_is_told_or_the_shops_rule(folder: Path) -> None:
    def place(session: Session | None, told: str = "") -> float:
        request = ReadRequest((folder / "part.nc1",), slot_centre=told)
        return read_parts(session, request).read.parts[0].features[0].x_mm

    assert [place(None, told) for told in ("", "middle", "First-End")] == [86.5, 72.5, 86.5]
    with closing(new_crib(folder / "shop.crib")) as session:
        change_rule(session, "read.slot_centre", "middle", "our writer does", by="window")
        assert [place(session), place(session, "first_end")] == [72.5, 86.5]


def test_where_y_counts_from_is_the_shops_rule(folder: Path) -> None:
    (folder / "a.nc1").write_text(nc1(holes("  v 10o 30 22")))
    with closing(new_crib(folder / "shop.crib")) as session:
        request = ReadRequest((folder / "a.nc1",))
        assert read_parts(session, request).read.parts[0].features[0].y_mm == 30
        change_rule(session, "read.y_from", "letter", "our writer does", by="window")
        assert read_parts(session, request).read.parts[0].features[0].y_mm == 70


def test_layers_left_out_are_the_shops_rule(folder: Path) -> None:
    document = plate(12.0, 6.0, unit=1)
    document.modelspace().add_circle((9.0, 5.0), 0.25, dxfattribs={"layer": "stickers"})
    (folder / "a.dxf").write_text(text_of(document))
    with closing(new_crib(folder / "shop.crib")) as session:
        request = ReadRequest((folder / "a.dxf",))
        assert len(read_parts(session, request).lines) == 1
        change_rule(session, "read.ignore_layers", "dim*, STICK*", "our layers", by="window")
        count = read_parts(session, request)
    assert count.lines == ()
    assert any("'stickers'" in note.text for note in count.read.notes)


def test_a_quantity_against_the_file_is_said(folder: Path) -> None:
    count = read(folder, "part.nc1", quantity=2)
    assert [line.total for line in count.lines] == [2, 2]
    said = [note.text for note in count.read.notes]
    assert "P-1: the file says 4 pieces; counted 2 as told" in said


def test_the_phrase_of_a_list_keeps_its_bolt(folder: Path) -> None:
    bolt = "bolt 3/4 per AISC 360-22 thru 1/2"
    (folder / "bolts.csv").write_text(f"phrase,quantity,each\n{bolt},24,4\n")
    (line,) = read(folder, "bolts.csv").lines
    assert (line.each, line.parts, line.total, line.phrase) == (4, 24, 96, bolt)
    (line,) = read(folder, "bolts.csv", material="A572-50").lines
    assert line.phrase == f"{bolt} A572-50"


def test_the_phrase_of_a_list_in_another_unit_is_written_in_the_cribs(folder: Path) -> None:
    (folder / "metric.csv").write_text("phrase\nhole 22 thru 12.7 A36 edge 40\n")
    with closing(new_crib(folder / "shop.crib", "in")) as session:
        (line,) = read_parts(session, ReadRequest((folder / "metric.csv",), unit="mm")).lines
        reading = Reading(shop_rules(session))
    metric = Reading(Rules.defaults().with_changes({"crib.unit": "mm"}))
    asked = read_phrase("hole 22 thru 12.7 A36 edge 40", metric)
    assert read_phrase(line.phrase, reading).as_json() == pytest.approx(asked.as_json(), abs=1e-9)


def test_a_material_of_the_file_that_nobody_knows_is_said(folder: Path) -> None:
    (folder / "a.nc1").write_text(nc1(holes("  v 20 20 22"), material="MOONSTONE"))
    said = [note.said() for note in read(folder, "a.nc1").read.notes]
    material = act("say.material")
    assert saying("material 'MOONSTONE' is not known; say ", material) in said


def test_what_no_phrase_asks_for_is_named(folder: Path) -> None:
    (folder / "a.nc1").write_text(nc1(holes("  v 20 20 22 5.0", "  v 60 20g 10")))
    shown = [line.phrase for line in read(folder, "a.nc1").lines]
    assert shown == ["(hole 22 mm, 5 mm deep: not punched)", "(tapped 10 mm: not punched)"]


@pytest.mark.parametrize("name", ["bracket.dxf", "part.nc1"])
def test_a_file_is_known_by_what_stands_in_it(folder: Path, name: str) -> None:
    for ending in ("txt", "nc", "dxf"):
        (folder / f"other.{ending}").write_bytes((folder / name).read_bytes())
        assert len(read(folder, f"other.{ending}").read.parts) == 1


@pytest.mark.parametrize(
    ("told", "error", "message"),
    [
        ({"unit": "cm"}, BadValue, "unit 'cm' must be in or mm"),
        ({"quantity": 0}, BadValue, "quantity=0 must be 1 to 1000000"),
        ({"quantity": 1_000_001}, BadValue, "quantity=1000001 must be 1 to 1000000"),
        ({"thickness": "3//8"}, BadPhrase, "expected a thickness"),
        ({"thickness": "3/8 at"}, BadPhrase, "cannot place 'at'"),
        ({"material": "moonstone"}, UnknownName, "moonstone"),
        ({"slot_centre": "left"}, BadValue, "slot centre 'left' must be first_end or middle"),
    ],
)
def test_a_wrong_request_is_refused(
    folder: Path, told: dict[str, Any], error: type[BadInput], message: str
) -> None:
    with pytest.raises(error, match=message):
        read(folder, "bracket.dxf", **told)


def test_no_file_and_no_part_file_are_refused(folder: Path) -> None:
    (folder / "photo.png").write_bytes(b"\x89PNG")
    with pytest.raises(BadInput, match="is not a part file that can be read"):
        read(folder, "photo.png")
    with pytest.raises(BadInput, match="there is no file at"):
        read(folder, "gone.dxf")


def test_of_a_folder_all_part_files_are_read_in_the_order_of_their_names(folder: Path) -> None:
    shop = folder / "job"
    (shop / "old").mkdir(parents=True)
    for name in ("part.nc1", "list.csv", "bracket.dxf"):
        (shop / name).write_bytes((folder / name).read_bytes())
    (shop / "photo.png").write_bytes(b"\x89PNG")
    (shop / "~$list.xlsx").write_bytes(b"a program has it open")
    told = {"unit": "mm", "thickness": "10", "material": "A36"}
    count = read(folder, "job", **told)
    assert lines(count) == lines(read(shop, "bracket.dxf", "list.csv", "part.nc1", **told))
    assert count.read.notes[0].text == (
        "not read in job, as they are no part files: old/, photo.png"
    )


def test_a_folder_without_a_part_file_and_a_file_named_twice_are_refused(folder: Path) -> None:
    (folder / "empty").mkdir()
    with pytest.raises(BadInput, match=r"there is no part file in the folder .*empty"):
        read(folder, "empty")
    with pytest.raises(BadInput, match=r"part\.nc1 is named twice"):
        read(folder, "part.nc1", "empty/../part.nc1")


def test_the_parts_of_a_folder_are_drawn(folder: Path) -> None:
    shop = folder / "job"
    shop.mkdir()
    (shop / "part.nc1").write_bytes((folder / "part.nc1").read_bytes())
    read(folder, "job", drawing=folder / "parts.pdf")
    assert (folder / "parts.pdf").stat().st_size > 0


def test_a_list_in_millimetres_is_not_shown_with_endless_decimals_of_an_inch(
    folder: Path,
) -> None:
    (folder / "mm.csv").write_text("phrase\nslot 22 x 50 thru 12 S355\n")
    with closing(new_crib(folder / "in.crib", "in")) as session:
        count = read_parts(session, ReadRequest((folder / "mm.csv",), unit="mm"))
    assert [one.phrase for one in count.lines] == ["slot 22mm x 50mm thru 12mm S355"]


def test_a_unit_told_of_many_drawings_corrects_none_that_says_its_own(folder: Path) -> None:
    told = {"unit": "mm", "thickness": "10", "material": "A36"}
    count = read(folder, "bare.dxf", "bracket.dxf", **told)
    assert [part.length_mm for part in count.read.parts] == [12.0, 304.8]
    assert "bracket.dxf: read in inches, as the drawing says: alone it is read in mm if told" in [
        note.text for note in count.read.notes
    ]
    assert read(folder, "bracket.dxf", **told).read.parts[0].length_mm == 12.0


def test_a_material_told_of_many_files_is_for_those_that_say_none(folder: Path) -> None:
    (folder / "odd.nc1").write_text(nc1(holes("  v 20 20 24"), material="MOONSTONE", mark="P-2"))
    (folder / "bare.csv").write_text("phrase\nhole 1/2 thru 1/4\n")
    names = ("part.nc1", "odd.nc1", "bare.csv", "list.csv", "bracket.dxf")
    count = read(folder, *names, material="S355", thickness="10mm")
    assert [part.material for part in count.read.parts] == ["S275", "S355", "S355", "A36", "S355"]
    said = [note.text for note in count.read.notes]
    assert "part.nc1: says S275; kept: alone it is read as S355 if told" in said
    assert "list.csv: says A36; kept: alone it is read as S355 if told" in said
    assert "odd.nc1: material 'MOONSTONE' is not known: read as S355" in said
    shown = [line.phrase.split()[-1] for line in count.lines]
    assert shown == ["S275", "S275", "S355", "S355", "A36", "S355"]


def test_a_material_told_of_one_file_replaces_its_own(folder: Path) -> None:
    (part,) = read(folder, "part.nc1", material="S355").read.parts
    assert part.material == "S355"


def test_every_file_that_cannot_be_read_is_listed_in_one_answer(folder: Path) -> None:
    (folder / "bad.csv").write_text("phrase\nhole 1/2 thru\nhole wide thru 1/4\n")
    names = ("bad.csv", "bare.dxf", "gone.nc1")
    with pytest.raises(
        BadRows, match=r"none of 3 files can be read: bad\.csv, bare\.dxf, gone"
    ) as bad:
        read(folder, *names, drawing=folder / "parts.svg")
    faults = bad.value.faults
    assert [(one.file, one.line) for one in faults] == [
        ("bad.csv", 2),
        ("bare.dxf", 0),
        ("gone.nc1", 0),
        ("bad.csv", 3),
    ]
    assert str(faults[1]).startswith("bare.dxf: does not say its unit")
    units = (act("say.unit", unit="in"), act("say.unit", unit="mm"))
    assert acts_in(faults[1].text) == units
    assert not (folder / "parts.svg").exists()


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_what_is_said_of_a_part_is_in_the_unit_of_its_sizes(folder: Path, unit: Any) -> None:
    near = nc1(holes("  v 20 50 22", "  v 50 50 22", "  v 150 14 22"), length=290)
    (folder / "near.nc1").write_text(near)
    with closing(new_crib(folder / "shop.crib", unit)) as session:
        metric = read_parts(session, ReadRequest((folder / "near.nc1",)))
        inch = read_parts(session, ReadRequest((folder / "bracket.dxf",), thickness="3/8in"))
    assert {line.phrase for line in metric.lines} == {"hole 22mm thru 12mm S275"}
    assert metric.to_look_at
    assert not any(re.search(r"\d in\b", line) for line in metric.to_look_at)
    # An inch drawing is shown in the crib's own unit, and so is what is said of it.
    other = "mm" if unit == "in" else "in"
    assert inch.to_look_at
    assert not any(re.search(rf"\d {other}\b", line) for line in inch.to_look_at)


@given(sizes=st.lists(st.integers(40, 400).map(lambda n: n / 10), min_size=1, max_size=6))
@settings(max_examples=30, deadline=None)
def test_nothing_that_is_shown_of_a_part_has_endless_decimals(sizes: list[float]) -> None:
    lines = [f"  v {40 + 23.7 * n:.2f} 30.11 {size:.2f}" for n, size in enumerate(sizes)]
    with TemporaryDirectory() as made:
        file = Path(made) / "a.nc1"
        file.write_text(nc1(holes(*lines), length=290.0))
        for unit in ("in", "mm"):
            count = read_parts(None, ReadRequest((file,), unit=unit))
            shown = [*(line.phrase for line in count.lines), *count.to_look_at]
            assert not [text for text in shown if re.search(r"\.\d{5,}", text)]


def test_a_file_that_is_not_accounted_for_stops_no_other_and_is_named(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def lose(self: ReadingLedger, features: int) -> FileAccount:
        if self.file == "part.nc1":
            message = "part.nc1: line v 20 20 22 of line 28 was lost"
            raise ReadingFault(message)
        return closed(self, features)

    closed = ReadingLedger.closed
    monkeypatch.setattr(ReadingLedger, "closed", lose)
    count = read(folder, "part.nc1", "list.csv", unit="mm")
    assert [(one.file, one.code) for one in count.not_read] == [("part.nc1", "reading-fault")]
    assert count.total == 6
    with pytest.raises(ReadingFault, match="of line 28 was lost"):
        read(folder, "part.nc1")
