"""PINs: kept as a hash, asked with a wait that grows, taken away by who keeps the crib."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from crib.desk.book.pins import LONGEST_WAIT_S, drop_pin, has_pin, set_pin, try_pin, wait_after
from crib.errors import BadValue, UnknownName
from crib.stock.engine.session import Session
from tests.shop import kept_in, new_crib

NOW = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    with closing(new_crib(tmp_path / "new.crib")) as opened:
        yield opened


@pytest.mark.parametrize("pin", ["", "123", "1" * 13, "12a4", "１２３４", "12 34", "-123"])
def test_a_pin_is_digits(session: Session, pin: str) -> None:
    with pytest.raises(BadValue, match="4 to 12 digits"):
        set_pin(session, "window", pin)
    assert not has_pin(session, "window")


def test_the_right_pin_opens_and_a_wrong_one_does_not(session: Session) -> None:
    assert try_pin(session, "window", "anything", NOW).said == "right"
    set_pin(session, "window", "4711")
    assert has_pin(session, "window")
    assert "4711" not in kept_in(session.path)
    assert try_pin(session, "window", "4712", NOW).said == "wrong"
    assert try_pin(session, "window", "4711", NOW).said == "right"
    drop_pin(session, "window")
    assert not has_pin(session, "window")


def test_each_further_slip_waits_longer_and_the_right_pin_ends_it(session: Session) -> None:
    set_pin(session, "window", "4711")
    moment, waits = NOW, []
    for _slip in range(6):
        tried = try_pin(session, "window", "0000", moment)
        assert tried.said == "wrong"
        waits.append(tried.wait_s)
        if tried.wait_s:
            assert try_pin(session, "window", "4711", moment).said == "wait"
        moment += timedelta(seconds=tried.wait_s)
    assert waits == [0, 0, 15, 30, 60, 120]
    assert try_pin(session, "window", "4711", moment).said == "right"
    assert try_pin(session, "window", "0000", moment).wait_s == 0


def test_no_wait_is_longer_than_a_quarter_of_an_hour(session: Session) -> None:
    assert [wait_after(slips) for slips in (9, 10, 1000)] == [900.0, 900.0, 900.0]
    set_pin(session, "window", "4711")
    for _slip in range(3):
        try_pin(session, "window", "0000", NOW)
    a_year_back = NOW - timedelta(days=365)
    assert try_pin(session, "window", "4711", a_year_back).wait_s == LONGEST_WAIT_S


def test_nobody_elses_pin_is_set(session: Session) -> None:
    with pytest.raises(UnknownName):
        set_pin(session, "nobody", "4711")
