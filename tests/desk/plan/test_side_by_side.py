"""Helpers on other cores, and compiled code: the same answers, nothing left running."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
from pathlib import Path
from time import monotonic, sleep
from typing import Any

import pytest

from crib.desk.plan import side_by_side
from crib.desk.plan.compiled_search import fastest_annealed
from crib.desk.plan.side_by_side import beside
from crib.trade.changes import order_moves, order_search
from crib.trade.changes.magazine import kept_uses
from crib.trade.changes.tool_changes import Help, OrderSearch, fewest_changes
from tests.house import ROOT

_BEGIN_AND_DIE = """
import os, sys
from crib.desk.plan.side_by_side import beside
from crib.trade.changes.tool_changes import OrderSearch
search = OrderSearch(tuple(1 << n for n in range(40)), 1, 0, 10**6, 60.0)
with beside(search, 2):
    print(os.getpid(), flush=True)
    sys.stdin.read()
"""


def masks(number: int, jobs: int = 20, tools: int = 30) -> list[int]:
    """Jobs of some of so many tools."""
    chance = random.Random(number)
    return [
        sum(1 << tool for tool in chance.sample(range(tools), chance.randint(2, 9)))
        for _job in range(jobs)
    ]


def search_of(row: list[int], seconds: float, first: int = 0) -> OrderSearch:
    """A search that is over when an order is found that keeps more."""
    return OrderSearch(tuple(row), 9, first, kept_uses(row, 9) + 1, seconds)


@pytest.mark.parametrize("tools", [10, 63, 64, 126])
@pytest.mark.parametrize("first", [0, 1])
def test_compiled_code_does_exactly_what_the_plain_code_does(tools: int, first: int) -> None:
    pytest.importorskip("numba")
    fast = fastest_annealed(tools)
    assert fast is not order_search.annealed
    for number in range(5):
        row = masks(number, 14, tools)
        told = (row, 9, first, 0, 7 + number, 0.3, 400, 10**6)
        assert fast(*told) == order_search.annealed(*told)


def test_too_many_tools_for_compiled_code_are_left_to_the_plain_code() -> None:
    assert fastest_annealed(127) is order_search.annealed


_TWICE = """
import sys
from crib.desk.plan.compiled_search import annealed_when_ready, fastest_annealed, ready_mark
told = [1, 2, 4, 3], 2, 0, 0, 1, 0.3, 50, 9
search = annealed_when_ready(10)
print(search(*told), "numba" in sys.modules, ready_mark().exists())
fastest_annealed(10)(*told)
print(search(*told), "numba" in sys.modules, ready_mark().exists())
"""


@pytest.mark.slow
def test_the_plain_code_searches_until_compiled_code_is_ready(tmp_path: Path) -> None:
    pytest.importorskip("numba")
    told = run_with_cache(tmp_path, _TWICE).splitlines()
    plain = order_search.annealed([1, 2, 4, 3], 2, 0, 0, 1, 0.3, 50, 9)
    assert told == [f"{plain} False False", f"{plain} True True"]
    again = run_with_cache(tmp_path, _TWICE).splitlines()
    assert again == [f"{plain} True True"] * 2


_HELPED = """
from pathlib import Path
from time import sleep, monotonic
from crib.desk.plan.compiled_search import ready_mark
from crib.desk.plan.side_by_side import beside
from crib.trade.changes.tool_changes import OrderSearch
search = OrderSearch(tuple(1 << n for n in range(20)), 1, 0, 10**6, 100.0)
until = monotonic() + 100
with beside(search, 1):
    while not ready_mark().exists() and monotonic() < until:
        sleep(0.1)
print(ready_mark().exists())
"""


@pytest.mark.slow
def test_a_helper_makes_compiled_code_ready(tmp_path: Path) -> None:
    pytest.importorskip("numba")
    assert run_with_cache(tmp_path, _HELPED) == "True\n"


def run_with_cache(folder: Path, script: str) -> str:
    """What a program prints that finds only this folder as the user's cache."""
    homes = dict.fromkeys(("XDG_CACHE_HOME", "HOME", "LOCALAPPDATA"), str(folder))
    done = subprocess.run(
        [sys.executable, "-c", script],
        cwd=ROOT,
        env={**os.environ, **homes},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


def test_other_code_has_compiled_code_of_its_own(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from crib.desk.plan import compiled_search

    changed = tmp_path / "order_moves.py"
    changed.write_text("# otherwise\n", "utf-8")
    before = compiled_search.ready_mark()
    monkeypatch.setattr(order_moves, "__file__", str(changed))
    assert compiled_search.ready_mark.__wrapped__().parent != before.parent


def test_without_numba_the_plain_code_does(monkeypatch: pytest.MonkeyPatch) -> None:
    from crib.desk.plan import compiled_search

    monkeypatch.setattr(compiled_search, "_compiled", compiled_search._compiled.__wrapped__)
    monkeypatch.setitem(sys.modules, "numba", None)
    assert fastest_annealed(10) is order_search.annealed


@pytest.mark.slow
def test_helpers_tell_a_better_order_of_the_same_jobs() -> None:
    row = masks(3, 30, 40)
    with beside(search_of(row, 60.0, first=1), 2) as rows:
        found = rows()
    assert len(found) == 2
    for one in found:
        assert one[0] == row[0]
        assert sorted(one) == sorted(row)
        assert kept_uses(one, 9) > kept_uses(row, 9)


def children(process: int) -> list[int]:
    """The processes that another one began."""
    told = subprocess.run(["ps", "-o", "pid=", "--ppid", str(process)], capture_output=True)
    return [int(word) for word in told.stdout.split()]


def runs(process: int) -> bool:
    """Whether a process is there and more than a name that nobody has asked after."""
    try:
        state = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state != "Z"


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc").is_dir(), reason="looks for processes in /proc")
@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGINT, signal.SIGTERM])
def test_no_helper_outlives_who_began_it(how: signal.Signals) -> None:
    began = subprocess.Popen(
        [sys.executable, "-c", _BEGIN_AND_DIE],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        cwd=ROOT,
    )
    assert began.stdout is not None
    assert int(began.stdout.readline()) == began.pid
    helpers = children(began.pid)
    assert len(helpers) == 2
    began.send_signal(how)
    began.communicate(timeout=20)
    until = monotonic() + 20
    while any(map(runs, helpers)) and monotonic() < until:
        sleep(0.05)
    assert not any(map(runs, helpers))


def test_an_error_in_the_block_ends_the_helpers(monkeypatch: pytest.MonkeyPatch) -> None:
    began: list[subprocess.Popen[str]] = []
    inner = side_by_side._begun

    def begun(*told: Any) -> subprocess.Popen[str] | None:
        helper = inner(*told)
        assert helper is not None
        began.append(helper)
        return helper

    monkeypatch.setattr(side_by_side, "_begun", begun)
    with pytest.raises(KeyboardInterrupt), beside(search_of(masks(1), 60.0), 1):
        raise KeyboardInterrupt
    assert [helper.poll() is None for helper in began] == [False]


@pytest.mark.parametrize(
    "error", [PermissionError(13, "no"), OSError(11, "too many"), ValueError()]
)
def test_where_no_process_may_be_begun_the_search_goes_on_alone(
    monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    def refused(*_told: object, **_more: object) -> None:
        raise error

    monkeypatch.setattr(subprocess, "Popen", refused)
    jobs = [frozenset({n, n + 1, (n * 7) % 20}) for n in range(18)]
    found = fewest_changes(jobs, 5, seconds=1.2, help_by=Help(beside=beside))
    assert sorted(found.order) == list(range(18))


@pytest.mark.parametrize("program", ["print('what?')", "print([0, 0])", "raise SystemExit(3)"])
def test_a_helper_that_says_nothing_sound_is_passed_over(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, program: str
) -> None:
    python = tmp_path / "python"
    python.write_text(f"#!{sys.executable}\n{program}\n", "utf-8")
    python.chmod(0o755)
    monkeypatch.setattr(sys, "executable", str(python))
    with beside(search_of([1, 2, 4], 0.5), 1) as rows:
        assert rows() == []


def test_a_plan_of_a_few_jobs_begins_no_process_and_compiles_nothing() -> None:
    script = (
        "import subprocess, sys\n"
        "from crib.desk.plan.side_by_side import everything_that_helps\n"
        "from crib.trade.changes.tool_changes import fewest_changes\n"
        "def refused(*told, **more): raise AssertionError(told)\n"
        "subprocess.Popen = refused\n"
        "jobs = [frozenset({n, (n * 3) % 10}) for n in range(10)]\n"
        "found = fewest_changes(jobs, 4, help_by=everything_that_helps())\n"
        "print(found.proven, 'numba' in sys.modules, 'numpy' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert (done.stderr, done.stdout.split()) == ("", ["True", "False", "False"])


def test_the_compiled_code_is_kept_outside_the_checkout() -> None:
    pytest.importorskip("numba")
    fastest_annealed(10)(masks(1), 9, 0, 0, 7, 0.3, 10, 10**6)
    import numba

    kept: Any = numba.config
    assert not Path(kept.CACHE_DIR).is_relative_to(ROOT)
    assert any(Path(kept.CACHE_DIR).rglob("*.nbi"))
    assert [
        path
        for _top, _folders, files in os.walk(ROOT / "crib")
        for path in files
        if path.endswith(".nbi")
    ] == []
