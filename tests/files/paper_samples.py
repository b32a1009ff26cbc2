"""Shop papers to print in tests, and reading their PDFs back."""

from __future__ import annotations

from io import BytesIO

from pypdf import PdfReader

from crib.files.paper.kit_list import KitLine, KitList
from crib.files.paper.set_up_sheet import SetUpRun, SetUpSheet, SetUpTool, StationSetUp
from crib.files.paper.stroke_paper import PaperLine, StrokePaper

CAUTION = "Jog down without stock first: an even gap all round, the nut tight, the key seated."


def pages(data: bytes) -> list[str]:
    """The text of each page, with every run of blanks as one."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(data)).pages]


def set_up_run(order: int, phrase: str = "hole 13/16 thru 3/8 A36") -> SetUpRun:
    """One line of work."""
    return SetUpRun(
        order,
        phrase,
        part_mark=f"B{order:03d}",
        material="A36",
        parts=40,
        hits=6,
        strokes=240,
        force="24.4 US tons",
        load=0.49,
        gauge_lines=("1-1/2 in from the heel", "2 in from the end, then every 3 in"),
        note="burr up",
    )


def station(name: str = "Ironworker 1 / main punch", runs: int = 2) -> StationSetUp:
    """One station with a punch and a die."""
    return StationSetUp(
        name,
        (
            SetUpTool("punch", "P-0139", "round 13/16 in, seat A", "K3", "", "sharp, 12 %"),
            SetUpTool("die", "D-0202", "round 27/32 in, seat A", "L5", "45°", "sharp, 31 %"),
        ),
        "1/16 in over the stock",
        True,
        tuple(set_up_run(number) for number in range(1, runs + 1)),
        (
            "jog down slowly with no stock: even gap all round",
            "stripper square, die clean and flat",
        ),
    )


def set_up_sheet(stations: int = 2, runs: int = 2) -> SetUpSheet:
    """A sheet of so many stations, each with so many lines of work."""
    return SetUpSheet(
        "Set-up sheet: stair stringers",
        "J-1207",
        "Ironworker 1 (north bay)",
        "2026-11-25",
        tuple(station(f"main punch {number}", runs) for number in range(1, stations + 1)),
        (
            "first piece: hole size and burr checked before the run",
            "alignment jogged without stock",
        ),
        (CAUTION, "Eye protection always. Stand aside on the first hit."),
        ("the offcut rack is full, ask before cutting",),
    )


def kit_list(lines: int = 12) -> KitList:
    """A list of so many pieces, every third one a spare."""
    return KitList(
        "Kit: stair stringers",
        "J-1207",
        "2026-11-25",
        "2026-11-30",
        tuple(
            KitLine(
                *(f"K{number}", f"P-{number:04d}", f"round {number}/16 in, seat A", "punch"),
                *("hole 13/16 thru 3/8 A36", number % 3 == 0, "in its drawer", "sharp, 12 %"),
                *(("measure it first",) if number == 2 else ()),
            )
            for number in range(1, lines + 1)
        ),
        ("slot 13/16 x 2 thru 3/8: order 1 obround punch 13/16 x 2 in, seat B",),
        ("take the long wrench along",),
        cautions=("The plate on the machine and its maker's manual decide.",),
    )


def stroke_paper(lines: int = 5, blank_lines: int = 3) -> StrokePaper:
    """A sheet of so many planned lines and so many blank ones."""
    return StrokePaper(
        "Strokes of the shift",
        "7",
        "2026-11-25",
        "Ironworker 1 (north bay)",
        tuple(
            PaperLine(
                *(f"7-{number}", "P-0139 / D-0202", "hole 13/16", "3/8 A36", "J-1207"),
                None if number == 2 else 120 * number,
            )
            for number in range(1, lines + 1)
        ),
        blank_lines,
    )
