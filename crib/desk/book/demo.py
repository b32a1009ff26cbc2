"""The demo crib: an invented shop, its dates moved so that its last shift was yesterday."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from crib.acts import Act, Confirmed, act, saying
from crib.desk.answer.find import find
from crib.desk.book.copy_on_server import held_on_server, put_on_server
from crib.desk.book.new_crib import new_crib
from crib.desk.buying.buy import plan_buying
from crib.desk.common.acting import today_of
from crib.desk.common.which_crib import DEMO_SHOPS
from crib.desk.edges.due import DueRequest, list_due
from crib.desk.strokes.log import LogOptions, log_words
from crib.desk.tables.import_tables import take_in
from crib.errors import AskBack, Refused
from crib.files.common.whole_file import put_in_place
from crib.stock.book.settings import shop_rules
from crib.stock.engine.folders import seed_folder
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import Place, ServerPlace
from crib.stock.engine.session import Session
from crib.stock.queries.whole_crib import crib_size, note_rows, rows_since_noted
from crib.units import System

FOLDERS: dict[System, str] = {"in": "inch", "mm": "metric"}

_DATE = re.compile(r"(\d{4}-\d{2}-\d{2})(?:(T\d{2}:\d{2}:\d{2}(?:\.\d+)?)Z)?")


@dataclass(frozen=True, slots=True)
class DemoStep:
    """One thing a person comes to the window for: what to type, and what came of it."""

    title: str
    command: Act
    name: str
    result: Any

    def as_json(self) -> dict[str, Any]:
        """The step for programs."""
        return {"title": self.title, "command": self.command, "result": self.result}


@dataclass(frozen=True, slots=True)
class DemoMade:
    """The demo crib that was made, and the main job taken through it."""

    path: str
    shop: str
    unit: System
    last_shift: str
    drawers: int
    pieces: int
    entries: int
    steps: tuple[DemoStep, ...] = ()


def make_demo(
    path: Place,
    *,
    metric: bool = False,
    again: bool = False,
    confirmed: Confirmed = frozenset(),
    now: datetime | None = None,
) -> DemoMade:
    """Make the demo crib. ``again`` replaces one that is there, and only a demo crib.

    Raises:
        Refused: when there is a file already, or a crib that is not a demo.
        AskBack: when something was logged in the demo crib that is there.
        CribDamaged: when the file to be replaced is not a crib.
    """
    unit: System = "mm" if metric else "in"
    is_there = _is_there(path)
    if is_there:
        _require_a_demo(path, again, confirmed)
    # Made beside its place, so that it can be put there at once.
    parent = path.parent if isinstance(path, Path) else None
    if parent:
        parent.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(prefix="crib-demo-", dir=parent) as folder:
        fresh, tables = Path(folder) / path.name, Path(folder) / "tables"
        yesterday = today_of(now) - timedelta(days=1)
        move_dates(seed_folder() / FOLDERS[unit], tables, yesterday)
        new_crib(fresh, unit=unit, now=now)
        made = _fill(fresh, tables, path, now)
        if isinstance(path, ServerPlace):
            put_on_server(fresh, path, over=is_there)
        else:
            _put(fresh, path)
    return made


def show_demo(
    path: Place,
    *,
    metric: bool = False,
    again: bool = False,
    confirmed: Confirmed = frozenset(),
    now: datetime | None = None,
) -> DemoMade:
    """Make the demo crib and take the main job through it; raises what ``make_demo`` raises."""
    made = make_demo(path, metric=metric, again=again, confirmed=confirmed, now=now)
    session = open_crib(path)
    try:
        steps = take_through(session, now)
        note_rows(session)
        return replace(made, steps=steps)
    finally:
        session.close()


def take_through(session: Session, now: datetime | None = None) -> tuple[DemoStep, ...]:
    """Take the main job through a demo crib, as somebody at the window would."""
    unit = shop_rules(session).system
    return tuple(step(session, unit, now) for step in STEPS)


def move_dates(source: Path, target: Path, last_shift: date) -> None:
    """Copy a full export with every date moved by as many days as bring its last shift there.

    A moment in it is the shop's own clock, so it becomes that hour of this machine's day.
    """
    days = last_shift - _last_shift(source)
    target.mkdir()
    for path in sorted(source.glob("*.csv")):
        with (
            path.open(newline="", encoding="utf-8") as old,
            (target / path.name).open("w", newline="", encoding="utf-8") as new,
        ):
            moved = ([_moved(cell, days) for cell in row] for row in csv.reader(old))
            csv.writer(new, lineterminator="\n").writerows(moved)


def _last_shift(source: Path) -> date:
    with (source / "entries.csv").open(newline="", encoding="utf-8") as lines:
        return date.fromisoformat(max(row["shift on"] for row in csv.DictReader(lines)))


def _moved(cell: str, days: timedelta) -> str:
    written = _DATE.fullmatch(cell)
    if written is None:
        return cell
    day = (date.fromisoformat(written[1]) + days).isoformat()
    if written[2] is None:
        return day
    moment = datetime.fromisoformat(day + written[2]).astimezone(UTC)
    return moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _is_there(place: Place) -> bool:
    return place.exists() if isinstance(place, Path) else held_on_server(place) is not None


def _require_a_demo(path: Place, again: bool, confirmed: Confirmed) -> None:
    """Nothing, where the crib that is there may be made anew."""
    if not again:
        message = f"{path} is there already"
        anew, elsewhere = act("demo.anew"), act("say.crib")
        way_out = saying(anew, " makes the demo anew; ", elsewhere, " makes it elsewhere")
        raise Refused(message, way_out=way_out)
    session = open_crib(path)
    try:
        shop, since = shop_rules(session).text("crib.name"), rows_since_noted(session)
    finally:
        session.close()
    if shop not in DEMO_SHOPS.values():
        message = f"{path} is the crib of {shop!r}, not a demo; it is not replaced"
        way_out = saying("choose another file with ", act("say.crib"), "; nothing was changed")
        raise Refused(message, way_out=way_out)
    if since != 0 and "overwrite" not in confirmed:
        count = "something" if since is None else f"{since} record{'s' * (since != 1)}"
        message = f"{path} is a demo crib in which {count} may have been written since it was made"
        throw, elsewhere = act("confirm.overwrite"), act("say.crib")
        way_out = saying(throw, " throws them away; ", elsewhere, " makes another demo")
        raise AskBack(message, confirm="overwrite", way_out=way_out)


def _fill(fresh: Path, tables: Path, path: Place, now: datetime | None) -> DemoMade:
    session = open_crib(fresh)
    try:
        take_in(session, tables, by="", now=now)
        note_rows(session)
        rules, size = shop_rules(session), crib_size(session)
        return DemoMade(
            path=str(path),
            shop=rules.text("crib.name"),
            unit=rules.system,
            last_shift=size.last_shift,
            drawers=size.drawers,
            pieces=size.pieces,
            entries=size.entries,
        )
    finally:
        session.close()


def _put(fresh: Path, path: Path) -> None:
    """The finished crib takes its place at once; nothing of an older one's log stays beside it."""
    for end in ("-wal", "-shm"):
        path.with_name(path.name + end).unlink(missing_ok=True)
    put_in_place(fresh, path)


_HOLE: dict[System, str] = {"in": "hole 13/16 thru 3/8 A36", "mm": "hole 22 thru 12 S355"}
_MISSED: dict[System, str] = {"in": "hole 1-3/16 thru 3/8 A36", "mm": "slot 22 x 50 thru 10 S275"}
_SHIFT: dict[System, str] = {
    "in": "P-0137 420 thru 3/8 A36 with D-0202",
    "mm": "P-0115 180 thru 12 S355",
}

_BUDGET = 500


def _find_hole(session: Session, unit: System, now: datetime | None) -> DemoStep:
    phrase = _HOLE[unit]
    found = find(session, phrase, record=False, now=now)
    return DemoStep("Which die for this hole?", act("find", phrase=phrase), "find", found)


def _find_nothing(session: Session, unit: System, now: datetime | None) -> DemoStep:
    phrase = _MISSED[unit]
    found = find(session, phrase, record=False, now=now)
    return DemoStep(
        "And when nothing on the shelf serves?", act("find", phrase=phrase), "find", found
    )


def _log_shift(session: Session, unit: System, now: datetime | None) -> DemoStep:
    words = _SHIFT[unit]
    logged = log_words(session, words.split(), LogOptions(by="bench 2"), now)
    command = act("log", words=words, by="bench 2")
    return DemoStep("Here are tonight's strokes.", command, "log", logged)


def _list_due(session: Session, _unit: System, _now: datetime | None) -> DemoStep:
    return DemoStep("What needs grinding?", act("due"), "due", list_due(session, DueRequest()))


def _plan_buying(session: Session, _unit: System, now: datetime | None) -> DemoStep:
    plan = plan_buying(session, _BUDGET * 100, now=now)
    return DemoStep("What do we buy?", act("buy", budget=_BUDGET), "buy", plan)


STEPS: tuple[Callable[[Session, System, datetime | None], DemoStep], ...] = (
    _find_hole,
    _find_nothing,
    _log_shift,
    _list_due,
    _plan_buying,
)
"""The main job, one function for each thing that somebody comes to the window for."""
