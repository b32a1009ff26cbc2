"""A person, a machine, a supplier without a file: what a file could not say cannot be said here."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crib.desk.tables.by_name import (
    keep_machine,
    keep_person,
    keep_supplier,
    list_machines,
    list_people,
    list_suppliers,
)
from crib.desk.tables.import_tables import Tally, take_in
from crib.errors import BadRows, CribError, Missing
from crib.stock.engine.session import Session
from tests.shop import add_seat, new_crib

STATION = {"name": "", "does": "", "rated force": "", "seats": "", "throat": ""}


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    with closing(new_crib(tmp_path / "new.crib")) as opened:
        add_seat(opened, "B")
        yield opened


def test_a_person_is_known_from_then_on(session: Session) -> None:
    kept = keep_person(session, {"name": "Bench  2", "role": "grinder"}, by="")
    assert kept.took == {"people": Tally(added=1)}
    assert {"name": "Bench 2", "role": "grinder", "may": ""} in list_people(session).tables[
        "people"
    ]
    again = keep_person(session, {"name": "bench 2", "role": ""}, by="BENCH 2")
    assert again.took == {"people": Tally(already=1)}


def test_another_role_is_taken_only_as_a_change(session: Session) -> None:
    keep_person(session, {"name": "nights", "role": "grinder"}, by="")
    with pytest.raises(BadRows, match="'nights' was not taken"):
        keep_person(session, {"name": "nights", "role": "saw"}, by="")
    assert keep_person(session, {"name": "nights", "role": "saw"}, by="", update=True).took == {
        "people": Tally(changed=1)
    }


def test_what_somebody_may_do_is_said_in_known_words_and_taken_back(session: Session) -> None:
    keep_person(session, {"name": "new hand", "role": "", "may": "Strokes, lend"}, by="")
    assert session.value("SELECT may FROM person WHERE name = 'new hand'") == "strokes lend"
    with pytest.raises(BadRows) as refused:
        keep_person(session, {"name": "new hand", "role": "", "may": "steal"}, by="", update=True)
    assert "none of strokes, lend" in str(refused.value.faults[0].text)
    keep_person(session, {"name": "new hand", "role": "", "may": "all"}, by="", update=True)
    assert session.value("SELECT may FROM person WHERE name = 'new hand'") == ""


def test_a_machine_comes_with_a_station_and_takes_more(session: Session) -> None:
    punch = STATION | {"name": "punch", "rated force": "50 US tons", "seats": "B"}
    kept = keep_machine(session, {"name": "Press 1", "plate": "50 tons"}, punch, by="")
    assert kept.took == {"machines": Tally(added=1), "stations": Tally(added=1)}
    shear = STATION | {"name": "shear", "does": "flat shear"}
    more = keep_machine(session, {"name": "press 1", "plate": ""}, shear, by="")
    assert more.took == {"machines": Tally(already=1), "stations": Tally(added=1)}
    stations = list_machines(session).tables["stations"]
    assert [(one["machine"], one["name"], one["does"], one["rated force"]) for one in stations] == [
        ("Press 1", "punch", "punch", "50 US tons"),
        ("Press 1", "shear", "flat shear", ""),
    ]
    assert session.value("SELECT count(*) FROM place WHERE station_id IS NOT NULL") == 2


@pytest.mark.parametrize(
    ("station", "error", "said"),
    [
        ({}, Missing, "a new one needs a station"),
        ({"rated force": "50 kN"}, Missing, "which station"),
        ({"name": "p", "rated force": "50"}, BadRows, "it needs a unit"),
        ({"name": "p", "seats": "Q"}, BadRows, "'Q' is not among the seats"),
        ({"name": "p", "does": "juggle"}, BadRows, "juggle"),
    ],
)
def test_a_machine_that_cannot_be_leaves_nothing(
    session: Session, station: dict[str, str], error: type[CribError], said: str
) -> None:
    with pytest.raises(error) as raised:
        keep_machine(session, {"name": "Press 1", "plate": ""}, STATION | station, by="")
    faults = [str(one) for one in getattr(raised.value, "faults", [])]
    assert said in "\n".join([raised.value.message, *faults])
    assert list_machines(session).tables == {"machines": (), "stations": ()}


def test_a_supplier_keeps_its_address(session: Session) -> None:
    keep_supplier(session, {"name": "Northway", "address": "1 Street, Anytown", "note": ""}, by="")
    assert list_suppliers(session).tables["suppliers"] == (
        {"name": "Northway", "address": "1 Street, Anytown", "note": ""},
    )


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(name=st.text(max_size=50), role=st.text(max_size=20))
def test_a_name_is_taken_here_just_where_a_file_with_it_is(
    session: Session, tmp_path: Path, name: str, role: str
) -> None:
    """What was taken is there already for a file of the same words; what was refused is again."""
    with (tmp_path / "people.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([["name", "role"], [name, role]])
    try:
        keep_person(session, {"name": name, "role": role}, by="")
    except CribError:
        with pytest.raises(CribError):
            take_in(session, tmp_path / "people.csv", by="", dry_run=True)
    else:
        taken = take_in(session, tmp_path / "people.csv", by="", dry_run=True)
        assert taken.tables == {"people": Tally(already=1)}
