"""A spoiled file is refused by one clear error, or every line of it is accounted for."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from tests.files.mutated import MOST_MB, MOST_SECONDS, went

FEW, MANY, AT_ONCE = 500, 20_000, 4_000


def check(count: int, first: int) -> None:
    """In a process of its own, so that the memory that it takes is that of the reading."""
    words = [sys.executable, "-m", "tests.files.mutated", str(count), str(first)]
    done = subprocess.run(words, capture_output=True, text=True, check=True, timeout=1_800)
    went = json.loads(done.stdout)
    assert went["faults"] == []
    assert sum(went["ends"].values()) == count
    assert went["mb"] < MOST_MB
    assert went["seconds"] < MOST_SECONDS
    for kind in ("nc1", "dxf", "csv", "xlsx"):
        assert went["ends"].get(f"{kind} read", 0) > 0
        assert went["ends"].get(f"{kind} refused", 0) > 0


def test_five_hundred_spoiled_files_are_refused_or_accounted_for() -> None:
    check(FEW, 0)


@pytest.mark.parametrize("number", [1576, 2654, 3050, 3283])
def test_a_spoiled_file_that_once_came_out_otherwise_does_not_any_more(number: int) -> None:
    """An insert that breaks off, a sheet that is lost, an outline that runs over itself by dust."""
    assert went(1, number).faults == []


@pytest.mark.audit
@pytest.mark.parametrize("first", range(FEW, FEW + MANY, AT_ONCE))
def test_twenty_thousand_spoiled_files_are_refused_or_accounted_for(first: int) -> None:
    check(AT_ONCE, first)
