"""A full export of an older program: its entries say in notes alone what they are about."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from crib.acts import yes_to
from crib.desk.kit.hand_out import HandOut, hand_out, lend
from crib.desk.kit.open_jobs import Closing, close
from crib.desk.kit.take_back import TakeBack, take_back
from crib.desk.strokes.log import LogOptions, log_words
from crib.desk.strokes.stroke_paper import PaperRequest, make_paper
from crib.desk.tables.export_tables import give_out
from crib.desk.tables.import_tables import take_in
from crib.errors import BadRows
from crib.stock.book.settings import shop_rules
from crib.stock.engine.migrate import create_tables
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from tests.desk.kitting import FIRST, SECOND, kit_shop
from tests.shop import add_kind


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """A crib with an entry about everything that an entry can be about."""
    session = kit_shop(tmp_path / "shop.crib", "P-0138")
    paper = make_paper(session, PaperRequest(tmp_path / "sheet.pdf"))
    log_words(session, [paper.lines[0].code, "33"], LogOptions(confirmed=yes_to("many-strokes")))
    hand_out(session, SECOND, HandOut("bench 2"))
    take_back(session, SECOND, TakeBack())
    lend(session, ["P-0138"], HandOut("nights"))
    close(session, FIRST, Closing(assume=True))
    yield session
    session.close()


def subjects(session: Session) -> dict[int, str]:
    """What each entry is about that is about something."""
    return {row[0]: row[1] for row in session.rows("SELECT id, subject FROM entry") if row[1]}


def leave_out(file: Path, *names: str) -> None:
    """Take columns out of a table."""
    with file.open(encoding="utf-8-sig", newline="") as before:
        rows = list(csv.DictReader(before))
    with file.open("w", encoding="utf-8", newline="") as after:
        kept = [name for name in rows[0] if name not in names]
        writer = csv.DictWriter(after, kept, extrasaction="ignore")
        writer.writeheader()
        writer.writerows(rows)


@pytest.mark.parametrize("older", [True, False])
def test_what_the_entries_are_about_comes_in_as_it_went_out(
    shop: Session, tmp_path: Path, older: bool
) -> None:
    given = give_out(shop, tmp_path / "out")
    if older:
        leave_out(tmp_path / "out" / "entries.csv", "subject", "factors")
        leave_out(tmp_path / "out" / "holds.csv", "number")
    create_tables(tmp_path / "copy.crib")
    copy = open_crib(tmp_path / "copy.crib")
    take_in(copy, Path(given.target), by="")
    about = subjects(copy)
    assert about == subjects(shop)
    assert {text.split()[0] for text in about.values()} == {"line", "hold", "closing"}
    assert {text.split()[-1] for text in about.values() if "hold" in text} == {"out", "back"}
    copy.close()


def test_a_withdrawn_setting_comes_in_as_it_went_out_and_is_told_of_by_hand(
    shop: Session, tmp_path: Path
) -> None:
    given = give_out(shop, tmp_path / "out")
    rules = Path(given.target) / "rules.csv"
    old = ["force.bevel_credit", "0.2", "nights", "2026-03-02T10:00:00.000Z", "worn faces"]
    with rules.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([["key", "value", "person", "changed at", "why"], old])
    create_tables(tmp_path / "copy.crib")
    copy = open_crib(tmp_path / "copy.crib")
    take_in(copy, Path(given.target), by="")
    assert copy.rows("SELECT key, value FROM shop_rule")[0]["value"] == "0.2"
    assert shop_rules(copy).number("force.caution_load") == 0.8
    with pytest.raises(BadRows, match="fault") as refused:
        take_in(copy, rules, by="")
    assert "was withdrawn" in str(refused.value.faults[0].text)
    copy.close()


@pytest.mark.parametrize(("older", "height_mm"), [(True, None), (False, 0.0)])
def test_an_adapters_height_of_an_older_program_may_be_one_that_nobody_said(
    shop: Session, tmp_path: Path, older: bool, height_mm: float | None
) -> None:
    joins: dict[str, Any] = {"seat_id": 1, "presents_seat_id": 2, "added_height_mm": 0.0}
    add_kind(shop, name="ring", role="die_adapter", width="1", **joins)
    given = give_out(shop, tmp_path / "out")
    if older:
        leave_out(tmp_path / "out" / "stations.csv", "stroke")
    create_tables(tmp_path / "copy.crib")
    copy = open_crib(tmp_path / "copy.crib")
    take_in(copy, Path(given.target), by="")
    assert copy.value("SELECT added_height_mm FROM kind WHERE name = 'ring'") == height_mm
    copy.close()
