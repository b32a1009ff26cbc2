"""Whatever way strokes get in, their entry keeps the factors that make their weight."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import prod
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.acts import yes_to
from crib.desk.book.show import show_piece
from crib.desk.kit.hand_out import HandOut, hand_out
from crib.desk.kit.open_jobs import Closing, close
from crib.desk.kit.take_back import TakeBack, take_back
from crib.desk.strokes.log import LogOptions, log_lines, log_words
from crib.desk.strokes.log_book import KnownLine
from crib.desk.strokes.manner_words import MANNER_WORDS
from crib.desk.strokes.shift import line_said
from crib.desk.strokes.stroke_paper import PaperRequest, make_paper
from crib.desk.strokes.stroke_sheet import take_sheet
from crib.errors import BadValue
from crib.stock.book.kept_factors import factors_text, read_factors, require_product
from crib.stock.engine.session import Session
from crib.trade.life import wear
from crib.trade.life.wear import Factor, Severity, StrokeCause
from tests.desk.kitting import SECOND, kit_shop

PRINTED = Path("sheet.pdf")

SURE = LogOptions(confirmed=yes_to("many-strokes", "no-job"))


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Session]:
    """Two jobs that are planned; a folder of its own to print into."""
    monkeypatch.chdir(tmp_path)
    session = kit_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def by_words(shop: Session) -> None:
    """What is typed behind ``crib log``, with and without a plate, a die and a manner."""
    words = (
        "P-0137 400 thru 1/2 A572-50 with D-0201 chain dry P-0140 7"
        " D-0204 30 thru 3/16 304 P-0140 9 thru 1 A36"
    )
    log_words(shop, words.split(), SURE)


def by_a_question(shop: Session) -> None:
    """What is answered to a prompt."""
    known = KnownLine("P-0137", "D-0201", 12.7, "A572-50")
    log_lines(shop, [line_said(shop, known, ["40", "bridge"])], LogOptions())


def by_a_printed_line(shop: Session) -> None:
    """The count behind a code."""
    made = make_paper(shop, PaperRequest(PRINTED))
    log_words(shop, [made.lines[0].code, "33"], SURE)


def by_a_sheet(shop: Session) -> None:
    """A spreadsheet's lines."""
    text = "tag,count,thru,material,with,hit,dry\nP-0137,40,1/2,304,D-0201,chain,x\nP-0140,5,,,,,\n"
    take_sheet(shop, text.encode(), "shift.csv", LogOptions())


def by_a_kit_that_is_back(shop: Session) -> None:
    """Counted and planned strokes of a kit."""
    hand_out(shop, SECOND, HandOut("bench 2"))
    take_back(shop, SECOND, TakeBack(("P-0140=25",)))


def by_closing_a_job(shop: Session) -> None:
    """Strokes that are assumed when a job is closed."""
    close(shop, SECOND, Closing(assume=True))


WAYS = [by_words, by_a_question, by_a_printed_line, by_a_sheet]
WAYS += [by_a_kit_that_is_back, by_closing_a_job]


@pytest.mark.parametrize("way", WAYS)
def test_the_factors_multiply_to_the_weight_to_the_last_digit(
    shop: Session, way: Callable[[Session], None]
) -> None:
    way(shop)
    rows = shop.rows("SELECT * FROM entry WHERE action = 'strokes'")
    assert rows
    for row in rows:
        factors = read_factors(row["factors"])
        assert factors is not None
        assert Severity(factors).total == row["severity"]
        assert row["weighted_milli"] == round(row["quantity"] * row["severity"] * 1000)


def test_a_die_keeps_its_punchs_factors_and_its_share(shop: Session) -> None:
    by_a_question(shop)
    punch, die = (
        read_factors(row[0])
        for row in shop.rows("SELECT factors FROM entry WHERE action = 'strokes' ORDER BY id")
    )
    assert punch is not None
    assert die is not None
    assert die == (*punch, Factor("die_share", 0.5))
    assert [one.name for one in punch] == [
        *("material", "thickness", "clearance", "dry", "hit", "stress")
    ]


def test_a_new_factor_is_weighed_kept_and_shown_without_another_word(
    shop: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    def _night(_cause: StrokeCause, _rules: wear.SeverityRules) -> float:
        return 1.7

    monkeypatch.setattr(wear, "_FACTORS", (*wear._FACTORS, ("night", _night)))
    result = log_words(shop, "P-0140 10 thru 3/8 A36".split(), SURE)
    assert result.lines[0].weight_each == 1.7
    assert result.lines[0].why == "night 1.7"
    why = show_piece(shop, "P-0140").why
    assert why is not None
    assert why.factors[-1] == Factor("night", 1.7)
    assert prod(one.value for one in why.factors) == why.each


def test_every_word_of_manner_is_read_and_written_back(shop: Session) -> None:
    for word, (name, value) in MANNER_WORDS.items():
        line = line_said(shop, KnownLine("P-0137"), ["40", "thru", "3/8", word])
        assert getattr(line.work.manner, name) == value


NAMES = st.text(min_size=1, max_size=12)
FIGURES = st.floats(min_value=1e-6, max_value=1e6)
FACTORS = st.lists(st.builds(Factor, NAMES, FIGURES), max_size=6, unique_by=lambda one: one.name)


@given(FACTORS.map(tuple))
def test_factors_read_back_as_they_were_written(factors: tuple[Factor, ...]) -> None:
    text = factors_text(factors)
    assert read_factors(text) == factors
    require_product(text, Severity(factors).total)


def test_what_is_not_on_record_is_not_taken_for_no_factors() -> None:
    assert read_factors("") is None
    assert read_factors(factors_text(())) == ()
    require_product("", 1.7)


@pytest.mark.parametrize("text", ["{", "[1]", "7", '{"material":"hard"}', '{"material":null}'])
def test_what_no_entry_can_hold_is_refused(text: str) -> None:
    with pytest.raises(BadValue, match="are not a JSON object of names and figures"):
        read_factors(text)


@pytest.mark.parametrize("figure", ["0", "-1.5", "NaN", "Infinity"])
def test_a_factor_is_above_nothing(figure: str) -> None:
    with pytest.raises(BadValue, match=r"factor material \S+ must be > 0"):
        read_factors(f'{{"material":{figure}}}')


@pytest.mark.parametrize("severity", [None, 1.0, 1.2500000000000002])
def test_a_weight_that_its_factors_do_not_make_is_refused(severity: float | None) -> None:
    with pytest.raises(BadValue, match=r"is not the product of the factors, 1\.25"):
        require_product('{"material":1.25}', severity)
