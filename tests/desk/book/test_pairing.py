"""Letting devices in: one code at a time, for five minutes, five tries and one use."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from crib.desk.book.pairing import (
    CODE_HOLDS_S,
    CODE_TRIES,
    device_showing,
    list_devices,
    make_code,
    make_program,
    revoke,
    take_code,
)
from crib.errors import Missing, Refused, UnknownName
from crib.stock.engine.session import Session
from tests.shop import kept_in, new_crib

NOW = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    with closing(new_crib(tmp_path / "new.crib")) as opened:
        yield opened


def wrong(code: str) -> str:
    """A code that is not this one."""
    return f"{(int(code) + 1) % 10**8:08}"


def test_a_code_lets_one_device_in_and_no_second(session: Session) -> None:
    made = make_code(session, "Tablet 1", now=NOW)
    let_in = take_code(session, f" {made.code[:4]} {made.code[4:]} ", now=NOW)
    assert let_in is not None
    found = device_showing(session, let_in.credential, "browser")
    assert found is not None
    assert (found.name, found.may) == ("Tablet 1", "all")
    assert take_code(session, made.code, now=NOW) is None


@pytest.mark.parametrize(
    ("after_s", "is_let_in"), [(CODE_HOLDS_S - 1, True), (CODE_HOLDS_S, False), (86_400, False)]
)
def test_a_code_holds_for_its_time(session: Session, after_s: int, is_let_in: bool) -> None:
    made = make_code(session, "", now=NOW)
    let_in = take_code(session, made.code, now=NOW + timedelta(seconds=after_s))
    assert (let_in is not None) == is_let_in


@pytest.mark.parametrize(("slips", "is_let_in"), [(CODE_TRIES - 1, True), (CODE_TRIES, False)])
def test_a_code_stands_some_slips(session: Session, slips: int, is_let_in: bool) -> None:
    made = make_code(session, "", now=NOW)
    for _slip in range(slips):
        assert take_code(session, wrong(made.code), now=NOW) is None
    assert (take_code(session, made.code, now=NOW) is not None) == is_let_in


@pytest.mark.parametrize("code", ["", "0", "12345678", "1" * 9, "\x00", "é" * 8, "x" * 5000])
def test_without_an_open_code_nobody_is_let_in(session: Session, code: str) -> None:
    assert take_code(session, code, now=NOW) is None
    assert list_devices(session) == ()


def test_a_new_code_takes_the_place_of_the_old(session: Session) -> None:
    first = make_code(session, "", now=NOW)
    second = make_code(session, "", now=NOW)
    assert take_code(session, first.code, now=NOW) is None
    assert take_code(session, second.code, now=NOW) is not None


def test_a_revoked_device_shows_its_token_in_vain(session: Session) -> None:
    token = make_program(session, "board", look_only=True, now=NOW)
    found = device_showing(session, token.credential, "program")
    assert found is not None
    assert found.may == "look"
    revoke(session, "BOARD", now=NOW)
    assert device_showing(session, token.credential, "program") is None
    again = make_program(session, "board", now=NOW)
    assert again.credential != token.credential
    assert [one.revoked_at != "" for one in list_devices(session)] == [True, False]


def test_a_token_is_good_for_its_own_sort_alone(session: Session) -> None:
    token = make_program(session, "board", now=NOW).credential
    assert device_showing(session, token, "browser") is None
    number, _dot, secret = token.partition(".")
    for other in (number, f"{number}.", f"2.{secret}", f"{number}.{secret}x", "²." + secret, "."):
        assert device_showing(session, other, "program") is None


def test_nothing_that_is_kept_lets_anybody_in(session: Session) -> None:
    made = make_code(session, "", now=NOW)
    token = make_program(session, "board", now=NOW).credential
    kept = kept_in(session.path)
    assert made.code not in kept
    assert token.partition(".")[2] not in kept
    row = session.row("SELECT id, token_hash FROM device")
    assert row is not None
    assert device_showing(session, f"{row[0]}.{row[1]}", "program") is None


def test_a_device_of_an_export_must_be_let_in_anew(session: Session) -> None:
    make_program(session, "board", now=NOW)
    with session.writing():
        session.run("UPDATE device SET token_hash = ''")
    assert list_devices(session)[0].pair_anew
    assert device_showing(session, "1.", "program") is None


def test_two_devices_have_two_names(session: Session) -> None:
    make_program(session, "board", now=NOW)
    with pytest.raises(Refused, match="'board' is let in already"):
        make_code(session, "Board", now=NOW)
    with pytest.raises(Missing):
        make_program(session, " ", now=NOW)
    with pytest.raises(UnknownName, match="no device is called"):
        revoke(session, "tablet", now=NOW)
