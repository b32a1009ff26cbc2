"""An invented shop of a hundred pieces, as the tables that its keeper would fill in."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from pathlib import Path

ROUND_A = ("5/16", "3/8", "7/16", "1/2", "9/16", "5/8", "11/16", "3/4", "13/16", "7/8")
ROUND_B = ("15/16", "1", "1-1/16", "1-1/8", "1-3/16")
DIE = {
    **{"5/16": "11/32", "3/8": "13/32", "7/16": "15/32", "1/2": "17/32", "9/16": "19/32"},
    **{"5/8": "21/32", "11/16": "23/32", "3/4": "25/32", "13/16": "27/32", "7/8": "29/32"},
    **{"15/16": "31/32", "1": "1-1/32", "1-1/16": "1-3/32", "1-1/8": "1-5/32"},
    **{"1-3/16": "1-7/32"},
}
"""The opening that goes with a punch: a thirty-second over it."""
COPIES = 3
USED = (0, 400, 1000)
"""What the copies of a size have done since they were new when the week begins; none was ground."""
PUNCHES, DIES = "Mill lane tooling", "Quarry road dies"
"""The two suppliers."""
MACHINE = "Ironworker"

Row = Sequence[str]

_SEAT_HEADINGS = (
    "name,head diameter,head thickness,body diameter,nut bore,punch length,die diameter"
)
_KIND_HEADINGS = (
    "name,role,shape,size,long,made for,depth,seat,edges,work length,price,lead days,supplier"
    ",least count"
).split(",")


def write_tables(folder: Path) -> None:
    """Write the tables of the shop: two suppliers, one machine, four drawers, a hundred pieces."""
    folder.mkdir()
    for name, rows in (*_fixed_tables().items(), ("kinds", _kinds()), ("pieces", _pieces())):
        with (folder / f"{name}.csv").open("w", newline="") as file:
            csv.writer(file).writerows(rows)


def _fixed_tables() -> dict[str, list[Row]]:
    shear = f"{MACHINE} / flat shear"
    return {
        "seats": [
            f"{_SEAT_HEADINGS},die height,keyed".split(","),
            "A,1.41 in,0.27 in,1.13 in,1.18 in,2-3/4 in,2.23 in,1.1 in,yes".split(","),
            "B,2.44 in,0.39 in,2.07 in,2.12 in,3-1/4 in,3.37 in,1.4 in,yes".split(","),
            "N,,,,,,6.6 in,2 in,yes".split(","),
        ],
        "machines": [("name", "plate"), (MACHINE, "invented, 60 US tons at the punch")],
        "stations": [
            ("machine", "name", "does", "rated force", "throat", "seats"),
            (MACHINE, "punch", "punch", "60 US tons", "12 in", "A"),
            (MACHINE, "big punch", "punch", "90 US tons", "14 in", "B"),
            (MACHINE, "notch", "notch", "", "", "N"),
            (MACHINE, "flat shear", "flat shear", "", "", ""),
        ],
        "envelopes": [
            ("station", "kind", "operation", "size", "thickness", "depth"),
            (shear, "", "cut flat", "12 in", "1/2 in", ""),
            (f"{MACHINE} / notch", "", "notch", "2 in", "3/8 in", "3 in"),
            ("", "notch set 2 x 3", "notch", "2 in", "3/8 in", "3 in"),
        ],
        "places": [("name", "sort"), *((drawer, "drawer") for drawer in ("A1", "A2", "B1", "B2"))],
        "people": [
            ("name", "role"),
            *((who, "") for who in ("keeper", "bench 2", "nights", "grinder")),
        ],
        "suppliers": [("name", "address"), (PUNCHES, "1 Mill Lane"), (DIES, "2 Quarry Road")],
    }


def _kinds() -> Iterable[Row]:
    yield _KIND_HEADINGS
    for seat, sizes, price in (("A", ROUND_A, "40.00"), ("B", ROUND_B, "60.00")):
        for size in sizes:
            yield _kind(f"punch {size}", "punch", "round", size, seat=seat, price=price)
            yield _kind(f"die {DIE[size]}", "die", "round", DIE[size], seat=seat, price=price)
    # None of these is in the drawers yet; the price of the die has to be asked.
    yield _kind("punch 17/32", "punch", "round", "17/32", seat="A", price="40.00", least_count="2")
    yield _kind("punch 1-5/16", "punch", "round", "1-5/16", seat="B", price="60.00")
    yield _kind("die 1-11/32", "die", "round", "1-11/32", seat="B")
    for role, size, long in (("punch", "9/16", "1-1/8"), ("die", "19/32", "1-5/32")):
        yield _kind(
            f"slot {role} {size} x {long}", role, "obround", size, long=f"{long} in", seat="A"
        )
    for half in ("upper", "lower"):
        yield _kind(
            f"shear blade, {half}", "blade", made_for="flat", edges="4", work_length="15 in"
        )
    yield _kind(
        "notch set 2 x 3", "set", "rectangle", "2", made_for="notch", depth="3 in", seat="N"
    )


def _kind(name: str, role: str, shape: str = "", size: str = "", **others: str) -> Row:
    supplier = DIES if role in ("die", "set") else PUNCHES
    known = {"name": name, "role": role, "shape": shape, "supplier": supplier, "lead_days": "5"}
    known |= {"size": f"{size} in"} if size else {}
    known |= others
    return [known.get(heading.replace(" ", "_"), "") for heading in _KIND_HEADINGS]


def _pieces() -> Iterable[Row]:
    """P-0101 ... and D-0101 ...: three copies of each size; then the rest."""
    yield ("tag", "kind", "place", "edge", "strokes since new", "strokes since grind", "bought on")
    number = 100
    for seat, sizes in (("A", ROUND_A), ("B", ROUND_B)):
        for size in sizes:
            for used in USED:
                number += 1
                done = (str(used), str(used), "2025-06-02")
                yield (f"P-0{number}", f"punch {size}", f"{seat}1", "", *done)
                yield (f"D-0{number}", f"die {DIE[size]}", f"{seat}2", "", *done)
    for tag in ("P-0201", "P-0202"):
        yield (tag, "slot punch 9/16 x 1-1/8", "A1", "", "0", "0", "2025-06-02")
    for tag in ("D-0201", "D-0202"):
        yield (tag, "slot die 19/32 x 1-5/32", "A2", "", "0", "0", "2025-06-02")
    for tag, half, place in (
        ("B-0301", "upper", f"{MACHINE} / flat shear"),
        ("B-0302", "lower", f"{MACHINE} / flat shear"),
        ("B-0303", "upper", "B2"),
        ("B-0304", "lower", "B2"),
    ):
        yield (tag, f"shear blade, {half}", place, "1", "0", "0", "2025-06-02")
    for tag, place in (("T-0401", f"{MACHINE} / notch"), ("T-0402", "B2")):
        yield (tag, "notch set 2 x 3", place, "", "0", "0", "2025-06-02")
