"""``crib order`` and ``crib receive`` as they are typed."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
import time_machine

from tests.cli.asking import Window
from tests.shop import add_kind, small_shop


@pytest.fixture
def window(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    path = tmp_path / "shop.crib"
    session = small_shop(path)
    seat_id = session.value("SELECT id FROM seat WHERE name = 'A'")
    add_kind(
        session,
        role="punch",
        width="1/2",
        seat_id=seat_id,
        name="half-inch punch",
        price_cents=4000,
        supplier="North",
        least_count=2,
    )
    session.close()
    return Window(path, capsys)


def line_name(window: Window) -> str:
    """The name of the first line to buy."""
    return str(window.ask("buy", "--json").json["lines"][0]["name"])


def test_from_the_list_to_the_drawer(window: Window, tmp_path: Path) -> None:
    file = tmp_path / "order.csv"
    ordered = window.ask("order", line_name(window), "--draw", str(file))
    assert ordered.status == 0
    assert f"written to {file}" in ordered.out
    assert "1 punch" in file.read_text("utf-8-sig") or "2 punches" in file.read_text("utf-8-sig")
    (order,) = window.ask("order", "--json").json["orders"]
    came = window.ask("receive", order["number"], "1=1", "--to", "A2", "--json").json
    assert came["lines"][0]["tags"] == ["P-0141"]
    assert window.ask("show", "P-0141").status == 0
    back = window.ask("receive", "--back", "P-0141", "--why", "wrong seat")
    assert back.status == 0
    assert "back to North" in back.out
    assert window.ask("order", order["number"], "--cancel", "--why", "dear").status == 0
    assert "no open orders" in window.ask("order").out


def test_what_came_says_after_how_many_days_and_where_it_lies(window: Window) -> None:
    with time_machine.travel("2026-03-05 12:00:00+00:00", tick=False) as clock:
        window.ask("order", line_name(window))
        clock.shift(timedelta(days=1))
        first = window.ask("receive", "2026-0001", "1=1", "--to", "A2").out
        clock.shift(timedelta(days=1))
        rest = window.ask("receive", "2026-0001").out
    assert "from North came 1 day after it was made, put in A2; it is open" in _flat(first)
    assert "from North came 2 days after it was made; it is closed" in _flat(rest)


def _flat(said: str) -> str:
    return " ".join(said.split())


def test_the_screens_fit_80_columns(window: Window) -> None:
    ordered = window.ask("order", line_name(window))
    number = window.ask("order", "--json").json["orders"][0]["number"]
    came = window.ask("receive", number, "--to", "A2")
    assert max(len(line) for line in [*ordered.lines, *came.lines]) <= 80


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("order", "one"), "one"),
        (("order", "2020-0001"), "no order has the number '2020-0001'"),
        (("order", "--cancel"), "no order"),
        (("receive", "2020-0001"), "no order has the number"),
        (("receive", "2020-0001", "1"), "'1' is not a line with its count"),
        (("receive", "--back", "P-0137"), "no reason given"),
    ],
)
def test_wrong_words_get_one_error(window: Window, words: tuple[str, ...], said: str) -> None:
    answer = window.ask(*words)
    assert answer.status in (1, 2)
    assert answer.out == ""
    assert said in answer.err
    assert answer.err.startswith("crib: ")
