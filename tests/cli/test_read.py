"""``crib read`` at the shell."""

from __future__ import annotations

from pathlib import Path

import pytest
from ezdxf.filemanagement import readfile

from crib.cli.main import main
from tests.cli.asking import Window
from tests.files.dxf_text import plate, text_of
from tests.files.nc1_text import holes, nc1
from tests.shop import new_crib

DAMAGES = ("cut short", "binary", "50 MB")


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.delenv("CRIB", raising=False)
    document = plate(12.0, 6.0, unit=1)
    for x in (9.0, 10.0, 11.0, 12.0):
        document.modelspace().add_circle((x, 5.0), 13 / 32)
    document.modelspace().add_text("see the other sheet")
    (tmp_path / "bracket.dxf").write_text(text_of(document))
    new_crib(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


def test_the_screen_counts_by_size_and_says_what_is_not_read(
    window: Window, tmp_path: Path
) -> None:
    file = str(tmp_path / "bracket.dxf")
    said = window.ask("read", file, "--thickness", "3/8", "--material", "A36", "--quantity", "3")
    assert (said.status, said.err) == (0, "")
    (row,) = [line.split() for line in said.lines if line.split()[:1] == ["bracket"]]
    assert row == "bracket 4 3 12 hole 13/16 thru 3/8 A36".split()
    assert "12 in all, 1 part read; compare with the drawing" in said.lines
    assert "TEXT on layer '0': 'see the other sheet'" in said.out
    assert max(len(line) for line in said.lines) <= 80


def test_json_is_parts_and_notes(window: Window, tmp_path: Path) -> None:
    said = window.ask("read", str(tmp_path / "bracket.dxf"), "--json")
    own = {"parts", "notes", "lines", "total", "parts_read", "ledger", "not_read"}
    assert set(said.json) == own | {"findings", "drawing"}
    assert said.json["lines"] == [
        {"mark": "bracket", "phrase": "hole 13/16 thru ?", "each": 4, "parts": 1, "total": 4}
    ]
    assert (said.json["total"], said.json["parts_read"]) == (4, 1)
    ledger = said.json["ledger"]
    assert (ledger["met"], ledger["counted"], ledger["told"]) == (6, 5, 1)
    assert [item["ended"] for item in ledger["files"][0]["items"]].count("counted") == 5
    (part,) = said.json["parts"]
    assert (part["mark"], part["quantity"], part["material"]) == ("bracket", 1, "A36")
    assert [one["size_mm"] for one in part["features"]] == [20.6375] * 4
    assert {one["phrase"] for one in part["features"]} == {"hole 13/16 thru ?"}
    assert {"line", "text"} == set(said.json["notes"][0])


def test_what_the_drawing_gives_to_look_at_is_shown_and_in_the_json(
    window: Window, tmp_path: Path
) -> None:
    text = nc1(holes("  v 20 50 22", "  v 50 50 22", "  v 150 14 22", "  v 250 14 22"), length=290)
    (tmp_path / "plate.nc1").write_text(text)
    said = window.ask("read", str(tmp_path / "plate.nc1"))
    shown = " ".join(said.out.split())
    assert "To look at:" in shown
    two = "2 x hole 22 mm, the first at x 150 mm, y 14 mm"
    assert f"STOP, P-1: {two}: 3 mm of metal to the edge = 0.25 t" in shown
    one = "hole 22 mm, at x 20 mm, y 50 mm"
    assert f"STOP, P-1: {one}: 9 mm of metal to the edge = 0.75 t" in shown
    assert max(len(line) for line in said.lines) <= 80
    found = window.ask("read", str(tmp_path / "plate.nc1"), "--json").json["findings"]
    assert {(one["mark"], one["rule"], one["verdict"]) for one in found} == {
        ("P-1", "metal to edge", "refuse"),
        ("P-1", "metal to pitch", "refuse"),
    }
    assert {"feature", "x_mm", "y_mm", "face", "value", "limit", "text"} <= set(found[0])


def test_very_much_to_look_at_is_cut_short(window: Window, tmp_path: Path) -> None:
    lines = [f"  v {100 + 50 * n} {11 + n / 100} 22" for n in range(25)]
    (tmp_path / "plate.nc1").write_text(nc1(holes(*lines), length=2000))
    assert "... and 5 more" in window.ask("read", str(tmp_path / "plate.nc1")).out


def test_the_parts_are_drawn_a_page_each(window: Window, tmp_path: Path) -> None:
    for name, size in (("one", 22), ("two", 24)):
        (tmp_path / f"{name}.nc1").write_text(nc1(holes(f"  v 40 50 {size}"), mark=name))
    files = [str(tmp_path / f"{name}.nc1") for name in ("one", "two")]
    said = window.ask("read", *files, "--draw", str(tmp_path / "parts.pdf"))
    assert said.status == 0
    assert "parts.pdf: 2 pages" in " ".join(said.out.split())
    assert (tmp_path / "parts.pdf").read_bytes().count(b"/Type /Page\n") == 2
    svg = str(tmp_path / "one.svg")
    found = window.ask("read", files[0], "--draw", svg, "--json").json
    assert found["drawing"] == svg
    drawn = (tmp_path / "one.svg").read_text()
    assert "A: 1 x hole 22mm thru 12mm S275" in drawn
    assert "read from one.nc1, 1 of it, S275" in drawn


def test_a_drawing_that_cannot_be_is_refused(window: Window, tmp_path: Path) -> None:
    file = str(tmp_path / "one.nc1")
    second = str(tmp_path / "second.nc1")
    for one, mark in ((file, "P-1"), (second, "P-2")):
        Path(one).write_text(nc1(holes(f"  v 40 50 {20 + int(mark[-1])}"), mark=mark))
    (tmp_path / "list.csv").write_text("phrase\nhole 1/2 thru 1/4\n")
    (tmp_path / "there.pdf").write_text("x")
    for words, message in (
        ((file, second, "--draw", "two.svg"), "two.svg holds one part, and there are 2"),
        ((str(tmp_path / "list.csv"), "--draw", "no.svg"), "does not say where things are"),
        ((file, "--draw", "there.pdf"), "is there already"),
        (("gone.nc1", "--draw", "a.png"), "a drawing ends in .svg or .pdf"),
    ):
        *others, place = words
        said = window.ask("read", *others, str(tmp_path / place))
        assert said.status == 2
        assert message in " ".join(said.err.split())
    assert not list(tmp_path.glob("*.svg"))


def test_a_broken_entity_of_a_drawing_is_named_and_the_rest_counted(
    window: Window, tmp_path: Path
) -> None:
    path = tmp_path / "bracket.dxf"
    path.write_bytes(path.read_bytes().replace(b"\n12.0\n", b"\nabc\n"))
    said = window.ask("read", str(path))
    assert said.status == 0
    assert "3 in all, 1 part read" in said.out
    assert "1 x CIRCLE" in said.out
    assert "broken, not read: 'abc' is no number" in " ".join(said.out.split())


def test_what_is_set_aside_is_taken_by_its_name(window: Window, tmp_path: Path) -> None:
    path = tmp_path / "bracket.dxf"
    document = readfile(path)
    document.modelspace().query("CIRCLE").first.dxf.linetype = "HIDDEN"
    document.saveas(path)
    said = window.ask("read", str(path))
    assert "3 in all" in said.out
    assert "1 x hole 20.637 mm; to take it say --take dashed" in " ".join(said.out.split())
    assert "4 in all" in window.ask("read", str(path), "--take", "dashed, gaps").out
    for words, error in (("dots", "unknown to take: 'dots'"), ("views,one-view", "not both")):
        refused = window.ask("read", str(path), "--take", words)
        assert refused.status == 2
        assert error in refused.err


@pytest.mark.parametrize(
    ("name", "damage"),
    [
        *((name, damage) for name in ("bracket.dxf", "plate.nc1") for damage in DAMAGES),
        ("plate.nc1", "wrong number"),
    ],
)
def test_a_damaged_file_is_one_clear_error(
    window: Window, tmp_path: Path, name: str, damage: str
) -> None:
    (tmp_path / "plate.nc1").write_text(nc1(holes("  v 40 50 22"), mark="whole"))
    path = tmp_path / name
    good = path.read_bytes()
    if damage == "cut short":
        path.write_bytes(good[: len(good) // 3])
    elif damage == "wrong number":
        path.write_bytes(good.replace(b"  v 40", b"  v abc"))
    elif damage == "binary":
        path.write_bytes(good[:200] + b"\0\xff\0" + good[200:])
    else:
        with path.open("ab") as file:
            file.truncate(50_000_000)
    said = window.ask("read", str(path))
    assert (said.status, said.out) == (2, "")
    assert name in said.err
    assert "Traceback" not in said.err
    assert len(said.err.splitlines()) <= 6


def test_no_crib_is_needed(
    window: Window,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    del window
    monkeypatch.setattr("crib.cli.door.home_folder", lambda: tmp_path / "nowhere")
    capsys.readouterr()
    assert main(["read", str(tmp_path / "bracket.dxf")]) == 0
    assert "hole 13/16 thru ?" in capsys.readouterr().out
    assert not (tmp_path / "nowhere").exists()


def test_a_crib_that_was_named_must_be_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = Window(tmp_path / "gone.crib", capsys).ask("read", str(tmp_path / "bracket.dxf"))
    assert said.status == 1
    assert "gone.crib" in said.err


def test_a_drawing_without_a_unit_asks_back_with_the_flag(window: Window, tmp_path: Path) -> None:
    (tmp_path / "bare.dxf").write_text(text_of(plate(12.0, 6.0, unit=0)))
    said = window.ask("read", str(tmp_path / "bare.dxf"))
    assert said.status == 2
    assert "12 x 6 over all" in said.err
    assert "--unit in or --unit mm" in said.err
    assert window.ask("read", str(tmp_path / "bare.dxf"), "--unit", "in").status == 0


def test_lines_of_a_list_with_one_mark_are_one_part(window: Window, tmp_path: Path) -> None:
    lines = (
        "hole 1/2 thru 1/4,24,4,P-7",
        "slot 1/2 x 2 thru 1/4,24,2,P-7",
        "hole 1/2 thru 1/4,1,1,",
    )
    (tmp_path / "list.csv").write_text("\n".join(["phrase,quantity,each,mark", *lines]))
    said = window.ask("read", str(tmp_path / "list.csv"))
    assert "145 in all, 2 parts read; compare with the drawing" in said.lines
    (row,) = [line.split() for line in said.lines if "slot" in line]
    assert row[:4] == ["P-7", "2", "24", "48"]


def test_a_list_with_faults_lists_them(window: Window, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("phrase\nhole 1/2 thru\nhole x thru 1/4\n")
    said = window.ask("read", str(tmp_path / "list.csv"))
    assert said.status == 2
    assert "list.csv line 2, phrase" in said.err
    assert "list.csv line 3, phrase" in said.err


def channel(views: str) -> str:
    """A channel with three windows in its web, listed in these views."""
    lines = [f"  {view} {x} 60 27" for view in views for x in (100, 250, 400)]
    return nc1(holes(*lines), code="U", length=500, height=120, quantity=8, mark="C-1")


def test_the_screen_says_in_one_line_how_much_was_counted_merged_and_told(
    window: Window, tmp_path: Path
) -> None:
    (tmp_path / "channel.nc1").write_text(channel("vh"))
    said = window.ask("read", str(tmp_path / "channel.nc1"))
    assert "24 in all, 1 part read; compare with the drawing" in said.lines
    assert "27 lines: 24 counted, 3 merged, 0 told (--all lists them)" in said.lines
    listed = window.ask("read", str(tmp_path / "channel.nc1"), "--all")
    assert "h 100 60 27" in listed.out
    assert "the same opening as in line 27" in listed.out
    assert max(len(line) for line in listed.lines) <= 80


def test_one_broken_file_of_a_folder_is_named_and_stops_no_other(
    window: Window, tmp_path: Path
) -> None:
    folder = tmp_path / "job"
    folder.mkdir()
    (folder / "channel.nc1").write_text(channel("v"))
    (folder / "cut.dxf").write_text((tmp_path / "bracket.dxf").read_text()[:-300])
    said = window.ask("read", str(folder))
    assert said.status == 2
    assert "24 in all, 1 part read, 1 file NOT read; compare with the drawing" in said.lines
    assert "NOT READ: cut.dxf is cut short: it does not end in EOF" in said.lines
    made = window.ask("read", str(folder), "--json").json
    assert [(one["file"], one["code"]) for one in made["not_read"]] == [("cut.dxf", "bad-input")]
    assert made["total"] == 24


def test_a_part_that_stands_in_two_files_is_asked_back(window: Window, tmp_path: Path) -> None:
    folder = tmp_path / "job"
    folder.mkdir()
    for name in ("channel.nc1", "copy.nc1"):
        (folder / name).write_text(channel("v"))
    said = window.ask("read", str(folder))
    assert (said.status, said.out) == (2, "")
    assert "1 part stands in more than one file" in said.err
    assert "C-1 in channel.nc1 (8 pieces), C-1 in copy.nc1 (8 pieces): one mark" in said.err
    totals = [
        window.ask("read", str(folder), "--same-part", word, "--json").json["total"]
        for word in ("once", "each")
    ]
    assert totals == [24, 48]


def test_of_a_long_list_the_first_lines_are_shown_and_all_are_counted(
    window: Window, tmp_path: Path
) -> None:
    lines = [f"hole 1/2 thru 1/4,2,P-{number}" for number in range(205)]
    (tmp_path / "list.csv").write_text("\n".join(["phrase,quantity,mark", *lines]))
    said = window.ask("read", str(tmp_path / "list.csv"))
    assert "... and 5 lines more with 10 features: --json has them all" in said.lines
    assert "410 in all, 205 parts read; compare with the drawing" in said.lines
    assert [line.split()[0] for line in said.lines if line.startswith("P-")][-1] == "P-199"


def test_a_heading_of_a_list_can_be_named(window: Window, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("Los,what,qty\nP-7,hole 1/2 thru 1/4,3\n")
    plain = window.ask("read", str(tmp_path / "list.csv"))
    assert "'Los' is not read" in plain.out
    said = window.ask("read", str(tmp_path / "list.csv"), "--columns", "Los=mark")
    assert [line.split()[0] for line in said.lines if "hole" in line] == ["P-7"]
    for wrong, told in (("Los=lot", "does not name a column"), ("Lot=mark", "no column headed")):
        assert told in window.ask("read", str(tmp_path / "list.csv"), "--columns", wrong).err
