"""A week in a company of three sites, worked out by hand before it was run.

North and South are two days apart, East one from either. Each site has a drawer, North and South a
press. Where everything is at the end of each day, and the strokes since it was new; ``>`` is on the
way, ``!`` out of use:

| evening | P-1    | D-1        | P-2  | D-2  | P-3      | D-3      | here: North | South | East |
|---------|--------|------------|------|------|----------|----------|-------------|-------|------|
| before  | N1 0   | N1 0       | S1 0 | S1 0 | E1 0     | E1 0     | 2           | 2     | 2    |
| Monday  | N1 0   | N1 0       | S1 0 | S1 0 | E > S 0  | E > S 0  | 2           | 2     | 0    |
| Tuesday | N1 0   | N1 0       | S1 0 | S1 0 | S1 120   | S1 120   | 2           | 4     | 0    |
| Wednes. | N > S 0| N1 0       | S1 0 | S1 0 | S1 150 ! | S1 150   | 1           | 4     | 0    |
| Thursd. | N > S 0| N > E 0    | S1 0 | S1 0 | S1 150 ! | S1 150   | 0           | 4     | 0    |
| Friday  | S1 80  | lost       | S1 0 | S1 0 | S1 150 ! | S1 230   | 0           | 5     | 0    |

South has no 13/16 pair: East's comes (a day), not North's (two). Its punch chips after 120 + 30
holes; of the 80 that a job wants by Friday the punch comes from North, sent on Wednesday at the
latest, while East's die stays. What North sends East gets lost.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import cast

import pytest
import time_machine

from crib.stock.book.sites import site_sizes
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import Place
from tests.cli.asking import Window
from tests.stock.engine.server import TestServer
from tests.week.first_days import runs
from tests.week.the_week import Count, Week, counts, moment_at

HOLE = "hole 13/16 thru 1/4 A36"
SEATS = (
    "name,head diameter,head thickness,body diameter,nut bore,punch length,die diameter,die height",
    "A,1.41 in,0.27 in,1.13 in,1.18 in,2-3/4 in,2.23 in,1.1 in",
)
TABLES: dict[str, tuple[str, ...]] = {
    "sites": ("name", "North", "South", "East"),
    "site_days": ("site,to site,days", "North,South,2"),
    "people": ("name,site", "Ned,North", "Sue,South", "Eve,East", "window,North"),
    "seats": SEATS,
    "machines": ("name,site", "Press N,North", "Press S,South"),
    "stations": (
        "machine,name,does,rated force,throat,seats",
        "Press N,punch,punch,60 US tons,12 in,A",
        "Press S,punch,punch,60 US tons,12 in,A",
    ),
    "places": ("name,sort,site", "N1,drawer,North", "S1,drawer,South", "E1,drawer,East"),
    "kinds": (
        "name,role,shape,size,seat",
        "punch 13/16,punch,round,13/16 in,A",
        "die 27/32,die,round,27/32 in,A",
        "punch 1/2,punch,round,1/2 in,A",
        "die 17/32,die,round,17/32 in,A",
    ),
    "pieces": (
        "tag,kind,place",
        *("P-1,punch 13/16,N1", "D-1,die 27/32,N1", "P-2,punch 1/2,S1", "D-2,die 17/32,S1"),
        *("P-3,punch 13/16,E1", "D-3,die 27/32,E1"),
    ),
}


@pytest.fixture(params=["file", "server"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Place:
    """A file, or a new database on a server."""
    if request.param == "file":
        return tmp_path / "company.crib"
    server: TestServer = request.getfixturevalue("server")
    return server.new_database()


@pytest.fixture
def week(
    place: Place,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> Iterator[Week]:
    """The company as its tables were taken in on the Friday before."""
    monkeypatch.chdir(tmp_path)
    with time_machine.travel(moment_at("2026-02-27 15:00"), tick=False) as clock:
        week = Week(Window(cast(Path, place), capsys), tmp_path, monkeypatch, clock)
        (tmp_path / "tables").mkdir()
        for name, lines in TABLES.items():
            with (tmp_path / "tables" / f"{name}.csv").open("w", newline="") as file:
                csv.writer(file).writerows(line.split(",") for line in lines)
        week.do("new --name 'Three yards'")
        week.do("import tables --by window --update")
        week.counted = counts(week.window.path)
        yield week


def evening(week: Week, here: tuple[int, int, int], touched: dict[str, Count]) -> None:
    """Count every piece, and how many are at North, South and East."""
    week.at_night(touched)
    with closing(open_crib(week.window.path)) as session:
        assert tuple(site.pieces for site in site_sizes(session)) == here


def monday(week: Week) -> None:
    """South lacks a pair; East's is the nearest, and leaves."""
    week.now("2026-03-02 07:00")
    said = week.do(f"find {HOLE} --site South --json").json
    taken = [(one["tag"], one["site"], one["days"]) for one in said["picks"][0]["pieces"]]
    assert taken == [("P-3", "East", 1), ("D-3", "East", 1)]
    assert {pick["machine"] for pick in said["picks"]} == {"Press S"}
    assert "crib send P-3 D-3 --to South --site East" in str(said["notes"])
    assert "there by 2026-03-03" in week.do("send P-3 D-3 --to South --by Eve").out
    assert "P-3" in week.do("due --site South").out
    assert week.do("count E1 --there none --site East").status == 0
    evening(week, (2, 2, 0), {t: Count(0, 0, "East > South") for t in ("P-3", "D-3")})


def tuesday(week: Week) -> None:
    """It is there, and punches."""
    week.now("2026-03-03 09:00")
    assert "P-3 is on the way" not in week.do("arrive P-3 D-3 --to S1 --by Sue").out
    week.do("log P-3 120 thru 1/4 A36 with D-3 --by Sue")
    evening(week, (2, 4, 0), {t: Count(120, 120, "S1") for t in ("P-3", "D-3")})


def wednesday(week: Week) -> None:
    """The punch chips; North's can be there by Friday, when the next job is due."""
    week.now("2026-03-04 10:00")
    week.do("log P-3 30 thru 1/4 A36 with D-3 --by Sue")
    week.do("broke P-3 chipped thru 1/4 A36 --by Sue")
    week.write("rail.csv", "mark,phrase,quantity,each", f"R1,{HOLE},20,4")
    early = week.window.ask(
        "plan", "rail.csv", "--job", "J-0", "--due", "2026-03-05", "--by", "Sue"
    )
    assert early.status != 0  # a day from now: North is two days away
    said = week.do("plan rail.csv --job J-1 --due 2026-03-06 --keep --by Sue --json").json
    assert runs(week, "J-1") == [("R1", ["P-1", "D-3"], 80, 0)]
    assert "P-1 is at North, 2 days away: send it by 2026-03-04" in str(said["notes"])
    kit = " ".join(week.do("kit J-1 --site South").out.split())
    assert "P-1 is at North, 2 days away: `crib send P-1 --to South --site North`" in kit
    week.do("send P-1 --to South --by Ned")
    evening(
        week,
        (1, 4, 0),
        {
            "P-3": Count(150, 150, "S1", "broken"),
            "D-3": Count(150, 150, "S1"),
            "P-1": Count(0, 0, "North > South"),
        },
    )


def thursday(week: Week) -> None:
    """South counts its drawer; what is on the way is missed by nobody. A die leaves for East."""
    week.now("2026-03-05 10:00")
    counted = week.do("count S1 --there P-2,D-2,P-3,D-3 --site South --json").json
    assert (counted["missing"], counted["strays"]) == ([], [])
    assert "away: North > South" in week.do("kit J-1 --site South").out
    week.do("send D-1 --to East --by Ned")
    evening(week, (0, 4, 0), {"D-1": Count(0, 0, "North > East")})


def friday(week: Week) -> None:
    """The punch comes and does the job; the die got lost."""
    week.now("2026-03-06 09:00")
    week.do("arrive P-1 --to S1 --by Sue")
    week.do("log P-1 80 thru 1/4 A36 with D-3 job J-1 --by Sue")
    week.do("broke D-1 lost --by Eve")
    assert "D-1" not in week.do("send --site all").out
    evening(
        week,
        (0, 5, 0),
        {
            "P-1": Count(80, 80, "S1"),
            "D-3": Count(230, 230, "S1"),
            "D-1": Count(0, 0, "North > East", "lost"),
        },
    )


def test_a_week_of_three_sites_is_counted_right(week: Week) -> None:
    for day in (monday, tuesday, wednesday, thursday, friday):
        day(week)
    assert "everything is sound" in week.do("check").out
    week.do("export out")
    copy = Week(Window(week.folder / "copy.crib", week.window._capsys), *others(week))
    copy.do("new --name Copy")
    copy.do("import out")
    copy.at_night(week.counted)
    assert "everything is sound" in copy.do("check").out


def others(week: Week) -> tuple[Path, pytest.MonkeyPatch, time_machine.Traveller]:
    """What two cribs of one week share."""
    return week.folder, week.patch, week.clock
