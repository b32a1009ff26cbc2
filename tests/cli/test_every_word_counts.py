"""No command passes over a word: one too many is named, and nothing is written then."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from crib.cli.command_list import COMMANDS
from crib.cli.commands.kit import group
from crib.stock.book.sites import add_site
from crib.stock.engine.opening import open_crib
from tests.cli.asking import Window
from tests.demo_crib import demo_crib

STRAY = "banana"
LINES = (
    "new --unit in",
    "demo",
    "find hole 13/16 thru 3/8 A36 for 30 --no-want",
    "find hole 13/16 thru 3/8 edge 2 end 3 pitch 3 p1 --no-want",
    "find bolt 3/4 per AISC 360-22 thru 1/2 A36 --no-want",
    "find slot 13/16 x 1 thru 3/8 across the throat edge 2 sideways --no-want",
    "find notch 2 x 3 thru 1/4 --no-want",
    "find vee 2 thru 1/4 --no-want",
    "find corner 3 x 3 thru 1/4 --no-want",
    "find cut flat 4 x 3/8 --no-want",
    "find cut angle 3 x 3 x 1/4 at 45 --no-want",
    "find cut tube 1 x 16ga --no-want",
    "find bend 10 x 1/4 at 90 flange 2 --no-want",
    "find saddle 1-1/2 pipe sch 40 --no-want",
    "find saddle 1-1/2 tube 0.120 wall onto 2 pipe --no-want",
    "find point 3/4 --no-want",
    "compare hole 17/32 thru 5/16 A36 for 120",
    "log P-0137 40 thru 3/8 A36 with D-0202",
    "log P-0137 40 P-0140 60 thru 1/2",
    "log P-0137 40 dry",
    "sheet out.pdf",
    "due",
    "forecast",
    "grind P-0138 --off 0.01in",
    "turn B-0601",
    "look P-0138 --sharp",
    "life P-0137",
    "chart P-0137",
    "broke P-0140 snapped",
    "broke P-0140 snapped thru 1/2 A36",
    "broke P-0140 lost",
    "buy",
    "order",
    "receive --back P-0140 --why worn",
    "stock",
    "stock 13/16 die",
    "show P-0137",
    "add P-9999 --role punch --shape round --size 1/2 --seat A",
    "move P-0140 --to K2",
    "count K1",
    "measure P-0140 0.8in --why calipers",
    "retire P-0140 --why worn",
    "history",
    "history P-0137",
    "holes J-2680",
    "undo 1 --why wrong",
    "rules",
    "rules size.tolerance_mm 0.06mm --why TEXT",
    "grades",
    "grades A36",
    "person Nina",
    "machine Press --station punch",
    "supplier Northway --address Anytown",
    "site South",
    "import tables",
    "export tables",
    "check",
    "backup out.crib",
    "restore out.crib",
    "rehouse new.crib",
    "plan --job J-2682",
    "jobs",
    "jobs J-2682",
    "kit",
    "kit J-2680",
    "kit show J-2680",
    "kit hold J-2680",
    "kit out J-2680",
    "kit back J-2680",
    "kit back J-2680 P-0139=1180",
    "kit release J-2680",
    "kit lend P-0140 --to K2",
    "kit late",
    "wrap saddle 6 pipe sch 40 onto 8 pipe at 60 out.pdf",
    "labels out.pdf",
    "read parts.csv",
    "cautions",
    "wants",
    "wants show 1",
    "wants strike 1 --why slip",
    "wants merge 2 --into 1",
    "wants reopen 1",
    "serve",
    "serve --devices",
)

AMONG_SITES = ("send P-0140 --to South", "arrive P-0140")
"""Lines of a crib with several sites."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("words") / "demo.crib"
    demo_crib(path).close()
    return path


@pytest.fixture(scope="module")
def company(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sites") / "demo.crib"
    with closing(demo_crib(path)) as session, session.writing():
        for name in ("North", "South"):
            add_site(session, name, "")
    return path


@pytest.fixture
def window(
    request: pytest.FixtureRequest,
    line: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> Window:
    path: Path = request.getfixturevalue("company" if line in AMONG_SITES else "shop")
    monkeypatch.chdir(path.parent)
    return Window(path, capsys)


def with_stray(line: str) -> Iterator[list[str]]:
    """The line with a stray word behind its words, and before the last of them."""
    words = line.split()
    end = next((at for at, word in enumerate(words) if word.startswith("--")), len(words))
    for at in dict.fromkeys((end, max(end - 1, 1))):
        yield [*words[:at], STRAY, *words[at:]]


@pytest.mark.parametrize("line", [*LINES, *AMONG_SITES])
def test_a_stray_word_is_named_and_nothing_is_written(window: Window, line: str) -> None:
    before = entries(window.path)
    for words in with_stray(line):
        said = window.ask(*words)
        assert said.status == 2, (words, said.out)
        behind = words[words.index(STRAY) :][:2]
        named = [word for word in behind if word in said.err]
        assert named, (words, said.err)
    assert entries(window.path) == before
    assert not [one for one in window.path.parent.iterdir() if one.name.startswith("out")]


def entries(path: Path) -> tuple[int, ...]:
    """How much the crib holds of all that a command may write."""
    session = open_crib(path)
    try:
        tables = ("entry", "piece", "kind", "want", "shop_rule", "job", "purchase", "hold", "paper")
        return tuple(session.value(f"SELECT count(*) FROM {table}") for table in tables)
    finally:
        session.close()


def test_every_command_and_sub_command_is_tried() -> None:
    assert {line.split()[0] for line in (*LINES, *AMONG_SITES)} == set(COMMANDS)
    said = {line.split()[1] for line in LINES if line.startswith("kit ")}
    every = {one.callback.__name__ for one in group.registered_commands if one.callback}
    assert said >= every
