"""A demo crib to start from, for tests that are not about its making."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from crib.desk.book.demo import make_demo
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from tests.shop import made_once

NOW = datetime(2027, 3, 9, 15, 0, tzinfo=UTC)
"""The moment at which tests make a demo; its last shift is the day before."""


@made_once
def demo_crib(path: Path, metric: bool = False) -> Session:
    """The demo crib as it is made at that moment."""
    make_demo(path, metric=metric, now=NOW)
    return open_crib(path)
