"""Sites: what the first one takes, days between them, ways, rules of their own."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.desk.book.check import check_crib
from crib.desk.book.new_crib import new_crib
from crib.desk.book.shop_rules import list_rules
from crib.desk.tables.export_tables import give_out, give_template
from crib.desk.tables.import_tables import take_in
from crib.errors import BadValue, UnknownName
from crib.stock.book.settings import shop_rules
from crib.stock.book.sites import (
    add_site,
    days_between,
    rename_site,
    set_days,
    site_called,
    stand_at,
    way_between,
)
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.queries.places import make_drawer
from crib.stock.tables.all_tables import SiteRoleRecord, SiteRuleRecord
from tests.shop import insert, small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


@pytest.fixture
def company(shop: Session) -> Session:
    """The shop as its company's first site of three, asked from there."""
    with shop.writing():
        for name in ("North", "South", "East"):
            add_site(shop, name, "")
    stand_at(shop, 1)
    return shop


def at_sites(session: Session) -> dict[str, set[int | None]]:
    return {
        table: {row[0] for row in session.rows(f"SELECT site_id FROM {table}")}
        for table in ("place", "machine", "person")
    }


def test_the_first_site_takes_what_is_there_and_the_next_none(company: Session) -> None:
    assert at_sites(company) == {"place": {1}, "machine": {1}, "person": {1}}
    assert check_crib(company).sound


def test_what_is_made_is_made_where_the_asker_is(company: Session) -> None:
    stand_at(company, 2)
    with company.writing():
        drawer = make_drawer(company, "S1")
    assert company.value("SELECT site_id FROM place WHERE id = ?", (drawer.id,)) == 2


def test_days_are_the_rules_until_a_pair_has_its_own(company: Session) -> None:
    north, south = site_called(company, "north"), site_called(company, "South")
    with company.writing():
        set_days(company, south, north, 3)
        set_days(company, south, north, 4)
    days = days_between(company, shop_rules(company))
    assert [days.between(1, 2), days.between(2, 1), days.between(1, 3)] == [4, 4, 1]
    assert days.between(2, 2) == days.between(None, 2) == 0


def test_a_site_is_no_days_from_itself(company: Session) -> None:
    north = site_called(company, "North")
    with company.writing(), pytest.raises(BadValue, match="North is no days from itself"):
        set_days(company, north, north, 1)


def test_an_unknown_site_names_the_known_ones(company: Session) -> None:
    with pytest.raises(UnknownName, match="no site called 'West'; known: North, South, East"):
        site_called(company, "West")


def test_a_way_is_made_once_and_follows_a_sites_new_name(company: Session) -> None:
    south = site_called(company, "South")
    with company.writing():
        way = way_between(company, 1, south)
        assert way_between(company, 1, south) == way
        rename_site(company, south, "South yard", "1 Quay, Anytown")
    assert company.value("SELECT name FROM place WHERE id = ?", (way,)) == "North > South yard"


def test_a_sites_own_rule_holds_there_alone(company: Session) -> None:
    facts = {"person_id": 1, "changed_at": "2026-03-02T06:00:00.000Z", "why": "daily"}
    insert(company, SiteRuleRecord, site_id=2, key="log.oldest_days", value="14", **facts)
    usual = shop_rules(company).number("log.oldest_days")
    stand_at(company, 2)
    assert shop_rules(company).number("log.oldest_days") == 14 != usual
    stand_at(company, None)
    assert shop_rules(company).number("log.oldest_days") == usual


def test_a_machine_without_its_places_is_told(company: Session) -> None:
    with company.writing():
        company.run("UPDATE machine SET site_id = 2 WHERE name = 'Ironworker 1'")
    (fault,) = [one for one in check_crib(company).checks if not one.ok]
    assert fault.faults == ("Ironworker 1 / punch is at no site, or not where its machine is",)


def test_sites_go_out_and_come_in_again(company: Session, tmp_path: Path) -> None:
    insert(company, SiteRoleRecord, person_id=2, site_id=3, role="helper", may="strokes")
    with company.writing():
        way_between(company, 2, site_called(company, "East"))
        set_days(company, site_called(company, "East"), site_called(company, "South"), 2)
    give_out(company, tmp_path / "out")
    new_crib(tmp_path / "again.crib")
    again = open_crib(tmp_path / "again.crib")
    take_in(again, tmp_path / "out", by="")
    give_out(again, tmp_path / "twice")
    for file in (tmp_path / "out").iterdir():
        assert file.read_text() == (tmp_path / "twice" / file.name).read_text(), file.name
    assert check_crib(again).sound
    again.close()


def test_a_crib_without_sites_shows_no_word_of_any(shop: Session, tmp_path: Path) -> None:
    give_out(shop, tmp_path / "out")
    give_template(shop, tmp_path / "blank")
    for file in [*(tmp_path / "out").iterdir(), *(tmp_path / "blank").iterdir()]:
        assert "site" not in f"{file.name} {file.read_text()}".replace("opposite", ""), file
    assert not any("site" in rule.key for rule in list_rules(shop).rules)
    assert not any("site" in check.name for check in check_crib(shop).checks)


def test_rows_taken_in_without_a_site_are_at_the_askers(company: Session, tmp_path: Path) -> None:
    with (tmp_path / "places.csv").open("w") as file:
        csv.writer(file).writerows([["name", "site"], ["S1", ""], ["E1", "East"]])
    stand_at(company, 2)
    take_in(company, tmp_path / "places.csv", by="")
    rows = company.rows("SELECT name, site_id FROM place WHERE name IN ('S1', 'E1') ORDER BY name")
    assert [tuple(row) for row in rows] == [("E1", 3), ("S1", 2)]
