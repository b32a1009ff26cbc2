"""How a job's holes are made is on record, by its code."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from crib.desk.answer.find import find
from crib.desk.answer.hole_methods import list_methods
from crib.errors import UnknownName
from crib.features.common.case import Circumstances
from crib.stock.engine.session import Session
from tests.shop import small_shop

PHRASE = "hole 13/16 thru 3/8 A36"


@pytest.fixture
def shop(tmp_path: Path) -> Session:
    return small_shop(tmp_path / "shop.crib")


def ask(shop: Session, job: str, code: str, execution_class: int | None = None) -> None:
    facts = Circumstances(job=job, code=code, execution_class=execution_class)
    find(shop, PHRASE, facts, by="bench 2")


def test_a_jobs_hole_in_a_code_is_kept_with_its_ruling(shop: Session) -> None:
    ask(shop, "J-1", "EN 1090-2", execution_class=2)
    (line,) = list_methods(shop, "J-1").lines
    assert (line.ask, line.code, line.ruling) == (PHRASE, "EN 1090-2", "allowed")
    assert (line.chosen, line.who) == ("punch full size", "bench 2")


def test_asked_again_the_latest_word_stands(shop: Session) -> None:
    # EN 1090-2 6.6.3, from memory: execution class 3 over 3 mm is punched under size and reamed.
    ask(shop, "J-1", "EN 1090-2", execution_class=2)
    ask(shop, "J-1", "EN 1090-2", execution_class=3)
    (line,) = list_methods(shop, "j-1").lines
    assert line.ruling == "not allowed"


def test_a_reamed_hole_is_on_record_with_what_was_really_picked_and_only_once(
    shop: Session,
) -> None:
    hole, facts = "hole 15/16 thru 3/8 A36", Circumstances(job="J-1", code="EN 1090-2")
    facts = replace(facts, execution_class=3)
    find(shop, hole, facts, by="bench 2")
    (line,) = list_methods(shop).lines
    assert (line.chosen, line.punched_mm, line.tools) == ("none yet", None, "")
    found = find(shop, f"{hole} ream", facts, by="bench 2")
    (line,) = list_methods(shop).lines
    assert (line.ask, line.chosen) == (hole, "punch under size and ream")
    assert line.punched_mm == pytest.approx(20.6375)
    assert line.finished_mm == pytest.approx(23.8125)
    assert line.tools.split() == [tool.tag for tool in found.picks[0].tools]


def test_a_hole_that_is_not_to_be_had_reamed_is_on_record_as_none_yet(shop: Session) -> None:
    facts = Circumstances(job="J-1", code="EN 1090-2", execution_class=3)
    assert not find(shop, f"{PHRASE} ream", facts).serves
    (line,) = list_methods(shop).lines
    assert (line.chosen, line.punched_mm) == ("none yet", None)


def test_a_reamed_hole_without_a_code_is_kept_too(shop: Session) -> None:
    find(shop, "hole 15/16 thru 3/8 A36 ream", Circumstances(job="J-1"))
    (line,) = list_methods(shop).lines
    assert (line.code, line.chosen) == ("none named", "punch under size and ream")


def test_another_job_or_code_is_another_line(shop: Session) -> None:
    ask(shop, "J-1", "EN 1090-2", execution_class=2)
    ask(shop, "J-2", "EN 1090-2", execution_class=2)
    ask(shop, "J-1", "AISC 360")
    assert len(list_methods(shop).lines) == 3
    assert len(list_methods(shop, "J-1").lines) == 2


@pytest.mark.parametrize(("job", "code"), [("", "AISC 360"), ("J-1", "")])
def test_without_a_job_or_a_code_nothing_is_kept(shop: Session, job: str, code: str) -> None:
    ask(shop, job, code)
    assert list_methods(shop).lines == ()


def test_an_ask_that_is_not_to_be_recorded_keeps_nothing(shop: Session) -> None:
    find(shop, PHRASE, Circumstances(job="J-1", code="AISC 360"), record=False)
    assert list_methods(shop).lines == ()


def test_an_unknown_code_keeps_nothing(shop: Session) -> None:
    with pytest.raises(UnknownName, match="unknown code 'XYZ 9'"):
        ask(shop, "J-1", "XYZ 9")
    assert list_methods(shop).lines == ()
