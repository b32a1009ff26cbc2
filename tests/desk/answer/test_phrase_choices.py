"""What is offered for the places of a phrase: what the crib has and works with."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from crib.desk.answer.find import find
from crib.desk.answer.phrase_choices import check_place, every_grade, form_called, place_choices
from crib.errors import BadQuantity, UnknownName
from crib.stock.engine.session import Session
from tests.demo_crib import demo_crib
from tests.stock.counted import statements


@pytest.fixture(scope="module", params=["in", "mm"])
def crib(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Session]:
    made = demo_crib(tmp_path_factory.mktemp("c") / "d.crib", metric=request.param == "mm")
    yield made
    made.close()


@pytest.mark.parametrize("name", ["hole", "bolt", "slot", "square", "rectangle", "notch", "point"])
def test_what_is_offered_makes_a_phrase_that_reads(crib: Session, name: str) -> None:
    form, _kind = form_called(name)
    said: dict[str, str] = {}
    for slot in form.slots:
        offered = place_choices(crib, name, slot, said)
        if not offered:
            return
        check_place(crib, slot, offered[0].word)
        said[slot] = offered[0].word
    assert find(crib, form.phrase(said), record=False).phrase.startswith(name)


def test_sizes_are_those_of_sound_pieces_in_the_order_of_size(crib: Session) -> None:
    rows = crib.rows(
        "SELECT DISTINCT width_mm FROM kind JOIN piece ON piece.kind_id = kind.id"
        " WHERE role = 'punch' AND shape = 'round' AND condition = 'sound' ORDER BY width_mm"
    )
    assert len(place_choices(crib, "hole", "width", {})) == len(rows)


def test_a_wall_is_thin_and_a_plate_is_any(crib: Session) -> None:
    walls = place_choices(crib, "cut-tube", "wall", {})
    assert set(walls) < set(place_choices(crib, "hole", "thickness", {}))


def test_the_grades_that_are_worked_come_from_every_grade(crib: Session) -> None:
    own = {one.word for one in place_choices(crib, "hole", "material", {})}
    assert own
    assert own <= set(every_grade(crib))


def test_what_is_not_known_is_refused(crib: Session) -> None:
    with pytest.raises(UnknownName, match="no shape called 'star'"):
        place_choices(crib, "star", "width", {})
    with pytest.raises(BadQuantity):
        check_place(crib, "width", "13/")
    check_place(crib, "thickness", "10ga")


@pytest.mark.parametrize("slot", ["width", "thickness", "material"])
def test_a_place_asks_few_statements(crib: Session, slot: str) -> None:
    asked = statements(crib, lambda session: place_choices(session, "hole", slot, {}))
    assert len(asked) <= 3
