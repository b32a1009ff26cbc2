"""Laws of the condition: a report holds until something written later clears it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crib.errors import Refused
from crib.stock.book import ledger
from crib.stock.book.conditions import FOR_GOOD, USABLE, read_state
from crib.stock.book.ledger import NewEntry
from crib.stock.book.subjects import of_damage
from crib.stock.engine.session import Session
from tests.stock.book.law_shops import Shops

NOW = datetime(2026, 6, 30, 12, tzinfo=UTC)
PIECE = 1
PEOPLE = (1, 2, 3)


def report(happened: str) -> NewEntry:
    return NewEntry("break", PIECE, condition="broken", subject=of_damage(happened), note=happened)


REPORTS = tuple(map(report, ("chipped", "cracked", "snapped", "shattered")))
GONE = (
    NewEntry("break", PIECE, condition="lost", note="lost"),
    NewEntry("retire", PIECE, condition="retired"),
    NewEntry("count", PIECE, condition="lost"),
    NewEntry("grind", PIECE, condition="locked", ground_um=100),
)
CLEARING = (
    NewEntry("look", PIECE, condition="sound"),
    NewEntry("look", PIECE, condition="inspect"),
    NewEntry("grind", PIECE, condition="sound", ground_um=100),
    NewEntry("count", PIECE, condition="inspect", place_id=4),
    NewEntry("correct", PIECE, condition="sound"),
)
BESIDE = (
    NewEntry("move", PIECE, place_id=5),
    NewEntry("turn", PIECE, edge=2),
    NewEntry("strokes", PIECE, quantity=5, weighted_milli=5000),
)


@dataclass(frozen=True)
class Said:
    """One act of a law: an entry, by whom, for a shift some days ago, in some zone; or an undo."""

    entry: NewEntry | None
    person_id: int
    days_ago: int
    clock_h: int
    undo: int


SAID = st.builds(
    Said,
    st.sampled_from((*REPORTS, *REPORTS, *GONE, *CLEARING, *CLEARING, *BESIDE, None)),
    st.sampled_from(PEOPLE),
    st.integers(0, 30),
    st.integers(-14, 14),
    st.integers(0, 99),
)
laws = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def do(shop: Session, said: Said, numbers: list[int]) -> bool:
    """Write what was said, or take an entry back; whether it was taken."""
    now = NOW + timedelta(hours=said.clock_h)
    day = now.date() - timedelta(days=1 + said.days_ago)
    stamp = ledger.new_stamp(said.person_id, shift_on=day, now=now)
    try:
        if said.entry is not None:
            ledger.write(shop, stamp, [said.entry])
            numbers.append(int(shop.value("SELECT max(id) FROM entry")))
        elif numbers:
            ledger.reverse(shop, stamp, [numbers.pop(said.undo % len(numbers))], "law")
    except Refused:
        return False
    return True


def condition(shop: Session) -> str:
    return str(shop.value("SELECT condition FROM piece WHERE id = ?", (PIECE,)))


def standing_entries(shop: Session) -> list[tuple[str, str, int, str]]:
    """What was said of the condition and holds, as written: action, damage, who, condition."""
    rows = shop.rows(
        "SELECT action, note, person_id, condition FROM entry WHERE piece_id = ?"
        " AND condition IS NOT NULL AND id NOT IN"
        " (SELECT reverses_id FROM entry WHERE reverses_id IS NOT NULL) ORDER BY id",
        (PIECE,),
    )
    return [tuple(row) for row in rows]


def must_not_be_used(shop: Session) -> bool:
    """By the words of the rule: is there a report that nothing written later has cleared?"""
    lines = standing_entries(shop)
    if any(note in FOR_GOOD for _action, note, _who, _condition in lines):
        return True
    reporters = {who for act, _note, who, said in lines if (act, said) == ("break", "broken")}
    for at, (action, note, _who, said) in enumerate(lines):
        later = [one for one in lines[at + 1 :] if one[3] in USABLE and one[3] != "inspect"]
        if action == "break" and note == "cracked":
            if not any(one[0] == "look" and one[2] not in reporters for one in later):
                return True
        elif said in ("broken", "lost", "retired") and not [
            one for one in lines[at + 1 :] if one[3] in USABLE
        ]:
            return True
    return False


@laws
@given(st.lists(SAID, max_size=14))
def test_what_was_reported_holds_until_it_is_cleared(shops: Shops, acts: list[Said]) -> None:
    shop, numbers = shops.fresh(), list[int]()
    for said in acts:
        do(shop, said, numbers)
        if must_not_be_used(shop):
            assert condition(shop) not in USABLE
        assert condition(shop) == read_state(shop, PIECE).condition
    assert ledger.rebuild(shop) == []


@laws
@given(st.lists(SAID, max_size=10), st.lists(st.integers(0, 30), min_size=10, max_size=10))
def test_no_date_has_a_say_in_the_condition(
    shops: Shops, acts: list[Said], days: list[int]
) -> None:
    ends = []
    for ago in (None, *([days] if days else [])):
        shop, numbers = shops.fresh(), list[int]()
        taken = []
        for at, said in enumerate(acts):
            dated = said if ago is None else Said(**{**vars(said), "days_ago": ago[at]})
            taken.append(do(shop, dated, numbers))
        place = shop.value("SELECT place_id FROM piece WHERE id = ?", (PIECE,))
        ends.append((taken, condition(shop), place))
    assert ends[0] == ends[1]


@laws
@given(st.sampled_from(FOR_GOOD), st.lists(SAID, max_size=14))
def test_a_piece_in_parts_comes_back_only_with_its_report(
    shops: Shops, happened: str, acts: list[Said]
) -> None:
    shop, numbers = shops.fresh(), list[int]()
    assert do(shop, Said(report(happened), 1, 30, 0, 0), [])
    broken = int(shop.value("SELECT max(id) FROM entry"))
    for said in acts:
        do(shop, said, numbers)
        assert condition(shop) not in USABLE
    for number in numbers:
        ledger.reverse(shop, ledger.new_stamp(1, now=NOW), [number], "law")
    ledger.reverse(shop, ledger.new_stamp(1, now=NOW), [broken], "law")
    assert condition(shop) == "sound"


@pytest.mark.parametrize("happened", ["chipped", "cracked", "snapped", "shattered"])
@pytest.mark.parametrize("back", CLEARING, ids=lambda one: f"{one.action} {one.condition}")
@pytest.mark.parametrize("person_id", [1, 2])
def test_what_clears_which_damage(
    shops: Shops, happened: str, back: NewEntry, person_id: int
) -> None:
    shop = shops.fresh()
    do(shop, Said(report(happened), 1, 0, 0, 0), [])
    may = back.condition == "sound" and (
        happened == "chipped"
        or (happened == "cracked" and back.action == "look" and person_id != 1)
    )
    assert do(shop, Said(back, person_id, 20, 0, 0), []) == may
    assert condition(shop) == ("sound" if may else "broken")


def test_an_older_report_without_a_subject_is_known_by_its_first_word(shops: Shops) -> None:
    shop = shops.fresh()
    old = NewEntry("break", PIECE, condition="broken", note="snapped; under the stripper")
    do(shop, Said(old, 1, 0, 0, 0), [])
    assert not do(shop, Said(CLEARING[0], 2, 0, 0, 0), [])


def test_one_act_may_not_break_and_mend(shops: Shops) -> None:
    shop = shops.fresh()
    stamp = ledger.new_stamp(1, shift_on=date(2026, 1, 1), now=NOW)
    with pytest.raises(Refused, match="P-0137 was reported snapped"):
        ledger.write(shop, stamp, [report("snapped"), CLEARING[0]])
    assert standing_entries(shop)[-1][0] == "add"
