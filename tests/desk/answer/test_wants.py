"""A miss is remembered for buying: once for each ask and job, however often it is asked."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from crib.acts import act, saying
from crib.desk.answer.find import find
from crib.features.common.case import Circumstances
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import PersonRecord
from tests.desk.asks import change, one_station
from tests.shop import insert

MISS = "hole 13/16 thru 3/8 A36"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """One station and an empty shelf."""
    with closing(one_station(tmp_path / "bare.crib")) as session:
        yield session


def wants(shop: Session) -> list[dict[str, Any]]:
    """Every want."""
    return [dict(row) for row in shop.rows("SELECT * FROM want ORDER BY id")]


def miss(shop: Session, phrase: str = MISS, job: str = "", quantity: int = 1) -> Any:
    """Ask for what the crib does not have."""
    return find(shop, phrase, Circumstances(job=job, quantity=quantity))


def test_five_asks_for_one_job_are_one_want(shop: Session) -> None:
    for spelling in (
        MISS,
        "HOLE .8125 thru .375 a36",
        "hole 13/16 thru 3/8",
        "round 20.6375mm thru 9.525mm A36",
        f"{MISS} for 40",
    ):
        found = miss(shop, spelling, job="J-1")
    (want,) = wants(shop)
    assert (want["ask"], want["job"], want["times_asked"]) == (MISS, "J-1", 5)
    assert want["quantity"] == 40
    assert found.notes[-1] == saying(
        "remembered for buying for job J-1, asked 5 times so far; not meant? ",
        act("wants.strike", wants=("1",), why=None),
    )


def test_another_job_is_another_want(shop: Session) -> None:
    for job in ("J-1", "J-2", "", " J-2 "):
        miss(shop, job=job)
    assert [(want["job"], want["times_asked"]) for want in wants(shop)] == [
        ("J-1", 1),
        ("J-2", 2),
        ("", 1),
    ]


def test_the_largest_quantity_and_the_last_time_stand(shop: Session) -> None:
    facts = Circumstances(quantity=300)
    early, late = datetime(2030, 5, 1, 8, tzinfo=UTC), datetime(2030, 5, 2, 8, tzinfo=UTC)
    find(shop, MISS, facts, now=early)
    find(shop, MISS, Circumstances(quantity=20), now=late)
    (want,) = wants(shop)
    assert want["quantity"] == 300
    assert want["first_at"].startswith("2030-05-01")
    assert want["last_at"].startswith("2030-05-02")


def test_a_want_says_what_was_missing(shop: Session) -> None:
    miss(shop)
    lines = json.loads(wants(shop)[0]["missing"])
    assert [(line["role"], line["seat"], line["kind"]) for line in lines] == [
        ("punch", "A", None),
        ("die", "A", None),
    ]


def test_a_miss_that_no_order_would_help_is_remembered_as_missed(shop: Session) -> None:
    found = miss(shop, "hole 5/16 thru 3/8 A36")
    assert str(found.notes[-1]).startswith("remembered as missed; not meant? ")
    assert wants(shop)[0]["missing"] == "[]"


def test_a_want_that_was_settled_is_open_again_when_it_is_asked_again(shop: Session) -> None:
    miss(shop)
    change(shop, "UPDATE want SET status = 'served'")
    miss(shop)
    assert wants(shop)[0]["status"] == "open"


def test_an_answer_is_given_though_somebody_else_is_writing(
    shop: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("crib.stock.engine.session.WAIT_SECONDS", 0.05)
    with closing(open_crib(shop.path)) as other, other.writing():
        shop.connection.execute("PRAGMA busy_timeout = 10")
        found = miss(shop)
    assert found.order
    assert found.notes[-1].startswith("not remembered: ")
    assert wants(shop) == []


def test_nothing_is_remembered_when_nobody_wants_it(shop: Session) -> None:
    assert not find(shop, MISS, record=False).serves
    assert wants(shop) == []


def test_who_asked_stands_in_the_want(shop: Session) -> None:
    insert(shop, PersonRecord, name="nights")
    find(shop, MISS, by="nights")
    assert wants(shop)[0]["person_id"] == shop.value("SELECT id FROM person WHERE name = 'nights'")
