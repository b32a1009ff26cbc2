"""Killed, or out of room, or failing at any write: an act is there whole or not at all, and told.

Each act is taken once in peace, which counts its writes; then it is taken again and again from the
same crib on a disk that gives out at one of them.
"""

from __future__ import annotations

import shutil
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from crib.cli.main import main
from crib.desk.book.demo import make_demo
from crib.stock.book.ledger import rebuild
from crib.stock.book.seals import broken_seals
from crib.stock.engine.backup import copy_whole, verify
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.queries.whole_crib import damaged_parts, rows_without_owner
from tests.cli.asking import Answer
from tests.desk.rows import every_row
from tests.faulty_disk import How, ask_on, can_be_made, count_writes, fail_from
from tests.schema.cribs import filled

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not can_be_made(), reason="SQLite hides its files' functions here"),
]

FEW_POINTS, MANY_POINTS = 4, 30
"""Writes of an act that a disk gives out at, in every run and in the long one."""
MOST_POINTS = [FEW_POINTS, pytest.param(MANY_POINTS, marks=pytest.mark.audit)]
HOWS: tuple[How, ...] = ("killed", "full", "failing")
OF_THE_MOMENT = {"made_at", "act", "seal", "first_at", "last_at", "changed_at", "digest", "answer"}
ACTS = (
    "log P-0137 400 thru 3/8",
    "log shift.csv",
    "grind P-0138 --length 2.70in",
    "broke P-0140 chipped",
    "move P-0137 --to K2",
    "kit lend P-0137 --to NAME",
    "add P-9200 --kind punch --place K2",
    "undo ENTRY --why typo",
    "rules wear.dry 1.4 --why trial --by NAME",
    "plan --job J-2682 --keep",
    "import people.csv",
    "log P-0137 400 thru 3/8 --key night-1",
)
FILES = ("backup copy.crib", "export out", "new --crib new.crib", "restore before.crib --yes")
SHEET = "\n".join(["tag,count,thru", *(f"P-0137,{count},3/8" for count in range(2, 200))])


@dataclass(frozen=True)
class Bench:
    """A folder with a crib and files for it, that each trial gets a copy of."""

    folder: Path

    def again(self, to: Path) -> Path:
        """The same folder anew."""
        shutil.rmtree(to, ignore_errors=True)
        shutil.copytree(self.folder, to)
        return to


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    folder = tmp_path_factory.mktemp("bench") / "shelf"
    folder.mkdir()
    make_demo(folder / "shop.crib")
    copy_whole(folder / "shop.crib", folder / "before.crib")
    (folder / "shift.csv").write_text(SHEET, "utf-8")
    (folder / "people.csv").write_text(
        "name,role\nlate shift,helper\nearly shift,helper\n", "utf-8"
    )
    return Bench(folder)


def said_in(folder: Path, words: list[str], first: Any = None) -> Answer:
    beside = folder.parent / "said"
    beside.mkdir(exist_ok=True)
    return ask_on(first, words, beside)


def words_of(act: str, folder: Path, session: Session) -> list[str]:
    """The words of an act, with the files of a folder and the names of a crib."""
    name = session.value("SELECT name FROM person WHERE name <> 'window' ORDER BY id")
    kind = session.value("SELECT kind.name FROM piece JOIN kind ON kind.id = kind_id ORDER BY tag")
    entry = session.value("SELECT max(id) FROM entry WHERE action = 'strokes'")
    meant = {"NAME": name, "punch": kind, "ENTRY": str(entry)} | {
        one: str(folder / one) for one in NAMES
    }
    crib = [] if "--crib" in act else ["--crib", str(folder / "shop.crib")]
    return [meant.get(word, word) for word in act.split()] + crib


NAMES = ("shift.csv", "people.csv", "copy.crib", "out", "new.crib", "before.crib")


def state(session: Session) -> dict[str, list[tuple[Any, ...]]]:
    """Every row, without what says when it was written."""
    rows = {}
    for table, kept in every_row(session).items():
        names = [row[1] for row in session.rows(f"PRAGMA table_info({table})")]
        stays = [at for at, name in enumerate(names) if name not in OF_THE_MOMENT]
        rows[table] = [tuple(row[at] for at in stays) for row in kept]
    return rows


def held(crib: Path, *, with_totals: bool = True) -> dict[str, list[tuple[Any, ...]]]:
    """What a crib holds, which must be sound."""
    with closing(open_crib(crib)) as session:
        assert list(damaged_parts(session)) == []
        assert list(rows_without_owner(session)) == []
        assert list(broken_seals(session)) == []
        assert not with_totals or rebuild(session) == []
        return state(session)


def points(count: int, most: int) -> list[int]:
    """The first writes and the last, and some between."""
    if count <= most:
        return list(range(1, count + 1))
    step = (count - 1) / (most - 1)
    return sorted({round(1 + step * number) for number in range(most)})


def require_named(said: Answer, how: How) -> None:
    """The message names the disk, and nobody is told to bring a copy back."""
    codes = ("disk-full", "disk-fault") if how == "full" else ("disk-fault",)
    assert any(f'"code": "{code}"' in said.err for code in codes), said.err
    for word in ("damaged", "crib restore", "should not have happened"):
        assert word not in said.err


@pytest.mark.parametrize("most", MOST_POINTS)
@pytest.mark.parametrize("act", ACTS)
def test_an_act_is_there_whole_or_not_at_all(
    bench: Bench, act: str, most: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = bench.again(tmp_path / "trial")
    before = held(folder / "shop.crib")
    with closing(open_crib(folder / "shop.crib")) as session:
        words = [*words_of(act, folder, session), "--json"]
    assert main(words) == 0, capsys.readouterr().err
    folder, counted = bench.again(folder), tmp_path / "trial" / "counted"
    assert said_in(folder, words, partial(count_writes, counted)).status == 0
    count = int(counted.read_text())
    after = held(folder / "shop.crib")
    assert count > 3
    assert after != before
    for how in HOWS:
        for point in points(count, most):
            folder = bench.again(folder)
            said = said_in(folder, words, partial(fail_from, point, how, folder))
            now = held(folder / "shop.crib")
            if said.status == 0:
                assert now == after, (how, point)
            elif how == "killed":
                assert said.status == -9
                assert now in (before, after), point
            else:
                assert now == before, (how, point)
                require_named(said, how)


@pytest.mark.parametrize("most", MOST_POINTS)
@pytest.mark.parametrize("act", FILES)
def test_a_file_is_there_whole_or_not_at_all(
    bench: Bench, act: str, most: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = bench.again(tmp_path / "trial")
    before = held(folder / "shop.crib")
    names = {one.name for one in folder.iterdir()}
    with closing(open_crib(folder / "shop.crib")) as session:
        words = [*words_of(act, folder, session), "--json"]
    assert main(words) == 0, capsys.readouterr().err
    folder = bench.again(folder)
    assert said_in(folder, words, partial(count_writes, folder / "counted")).status == 0
    count = int((folder / "counted").read_text())
    for how in HOWS:
        for point in points(count, most):
            folder = bench.again(folder)
            said = said_in(folder, words, partial(fail_from, point, how, folder))
            assert held(folder / "shop.crib") == before, (how, point)
            if how != "killed" and said.status:
                require_named(said, how)
                left = {one.name for one in folder.iterdir() if ".before-restore" not in one.name}
                assert left - names <= {"shop.crib-wal", "shop.crib-shm"}, (how, point)
            require_whole_files(folder, names)


def require_whole_files(folder: Path, names: set[str]) -> None:
    """No new file has a name to last but a whole one; what was begun has its writer's number."""
    for one in folder.rglob("*"):
        begun = any(part in one.name for part in (".partial", ".begun", ".incoming"))
        if one.is_dir() or one.name in names or begun or one.name.endswith(("-wal", "-shm")):
            continue
        if one.suffix == ".csv":
            assert one.read_bytes().endswith(b"\n"), one
        elif ".torn" in one.name:
            assert one.read_bytes() == (folder / "shop.crib").read_bytes(), one
        else:
            verify(one)


@pytest.mark.parametrize("most", MOST_POINTS)
def test_an_upgrade_is_done_or_not_begun(most: int, tmp_path: Path) -> None:
    base = tmp_path / "base"
    base.mkdir()
    filled(base / "shop.crib", "0003")
    bench, words = Bench(base), ["due", "--json", "--crib", str(tmp_path / "trial" / "shop.crib")]
    folder = bench.again(tmp_path / "trial")
    assert said_in(folder, words, partial(count_writes, folder / "counted")).status == 0
    count = int((folder / "counted").read_text())
    # The rows of an older crib in these tests have totals that no ledger bears out.
    after = held(folder / "shop.crib", with_totals=False)
    for how in HOWS:
        for point in points(count, most):
            folder = bench.again(folder)
            said = said_in(folder, words, partial(fail_from, point, how, folder))
            if how != "killed" and said.status:
                require_named(said, how)
            assert held(folder / "shop.crib", with_totals=False) == after, (how, point)
