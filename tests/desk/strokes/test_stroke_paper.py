"""Stroke sheets on paper: printed with codes, typed back as if by hand, once."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from crib.acts import act, yes_to
from crib.desk.strokes.log import LogOptions, log_words
from crib.desk.strokes.paper_codes import format_code, parse_code
from crib.desk.strokes.stroke_paper import PaperMade, PaperRequest, make_paper
from crib.desk.strokes.stroke_sheet import take_sheet
from crib.errors import AskBack, BadPhrase, BadRows, BadValue, Missing, UnknownName
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.planned import plan_job, run
from tests.shop import add_piece, small_shop

STATION = "Ironworker 1 / punch"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """A pair that worked 1/2 A572-50 last, a run in 1/4 304, and one of a tool that lies by."""
    session = small_shop(tmp_path / "shop.crib")
    place = session.value("SELECT id FROM place WHERE name = ?", (STATION,))
    moves = [
        NewEntry("move", piece_by_tag(session, tag).id, place_id=place)
        for tag in ("P-0137", "D-0201")
    ]
    ledger.write(session, ledger.new_stamp(person_id(session, "")), moves)
    log_words(session, "P-0137 5 thru 1/2 A572-50".split(), LogOptions())
    stainless = run(session, "P-0137", 400, material="304", thickness_mm=6.35)
    other = run(session, "P-0140", 60, phrase="hole 7/8 thru 3/8 A36")
    plan_job(session, "J 1", stainless, other)
    yield session
    assert ledger.rebuild(session) == []
    session.close()


@pytest.fixture
def paper(shop: Session, tmp_path: Path) -> PaperMade:
    return make_paper(shop, PaperRequest(tmp_path / "strokes.pdf"))


def newest(session: Session, count: int) -> list[tuple[Any, ...]]:
    """The newest entries, without what tells two acts apart and from which paper they came."""
    rows = session.rows(
        "SELECT piece_id, quantity, weighted_milli, severity, estimate, material, thickness_mm,"
        " job, action FROM entry ORDER BY id DESC LIMIT ?",
        (count,),
    )
    return [tuple(row) for row in rows]


def test_every_pair_and_run_has_a_line_with_a_code(paper: PaperMade) -> None:
    assert [(one.code, one.tag, one.die_tag, one.planned) for one in paper.lines] == [
        ("1-1", "P-0137", "D-0201", None),
        ("1-2", "P-0137", "D-0201", 400),
        ("1-3", "P-0140", "", 60),
    ]
    assert [(one.thickness_mm, one.material, one.job) for one in paper.lines] == [
        (12.7, "A572-50", ""),
        (6.35, "304", "J 1"),
        (9.525, "A36", "J 1"),
    ]
    assert (paper.number, paper.blank_lines, paper.unit) == (1, 6, "in")


def test_the_paper_shows_what_was_kept(paper: PaperMade) -> None:
    text = "\n".join(page.extract_text() for page in PdfReader(paper.file).pages)
    for words in ("1-1", "1-2", "1-3", "P-0137 over D-0201", "job J 1", "Sheet 1"):
        assert words in text
    assert paper.type_back == act("log", words="1-1 400 1-2 60")
    assert str(paper.type_back) in text.replace("\n", " ")


@pytest.mark.parametrize(
    ("by_code", "by_hand"),
    [
        (["1-1", "40"], ["P-0137", "40", "thru", "1/2", "A572-50", "with", "D-0201"]),
        (
            ["1-2", "40", "about", "1-3", "~60"],
            [
                *("P-0137", "40", "about", "thru", "1/4", "304", "with", "D-0201", "job", "J 1"),
                *("P-0140", "~60", "thru", "3/8", "A36", "job", "J 1"),
            ],
        ),
        (
            ["1-2", "40", "thru", "3/8", "1-3", "60", "thru", "1/4", "304", "job", "J-2"],
            [
                *("P-0137", "40", "thru", "3/8", "304", "with", "D-0201", "job", "J 1"),
                *("P-0140", "60", "thru", "1/4", "304", "job", "J-2"),
            ],
        ),
        (
            ["1-1", "40", "thru", "1/4", "A36", "1-2", "60", "with", "D-0202", "dry"],
            [
                *("P-0137", "40", "thru", "1/4", "A36", "with", "D-0201"),
                *("P-0137", "60", "thru", "1/4", "304", "with", "D-0202", "dry", "job", "J 1"),
            ],
        ),
    ],
)
def test_a_code_counts_what_the_words_by_hand_count(
    shop: Session, paper: PaperMade, by_code: list[str], by_hand: list[str]
) -> None:
    count = len(log_words(shop, by_code, LogOptions()).entries)
    typed = newest(shop, count)
    log_words(shop, by_hand, LogOptions(confirmed=yes_to("typed-already")))
    assert newest(shop, count) == typed
    assert paper.number == 1


def test_an_entry_says_from_which_line_it_came(shop: Session, paper: PaperMade) -> None:
    log_words(shop, ["1-2", "40"], LogOptions())
    notes = shop.rows("SELECT note FROM entry ORDER BY id DESC LIMIT 2")
    assert [row[0] for row in notes] == ["under P-0137", "sheet line 1-2"]
    assert paper.lines[1].code == "1-2"


@pytest.mark.parametrize(
    ("words", "match"),
    [
        ("1-9 40", "sheet 1 has no line 9; its lines: 1-1 P-0137, 1-2 P-0137, 1-3 P-0140"),
        ("1-1 40 thru 3/8 A36 1-4 40", "sheet 1 has no line 4"),
        ("7-1 40", "there is no stroke sheet 7; the last one printed is 1"),
        ("1-1", "how many strokes of 1-1"),
        ("1-1 many", "expected a count of strokes of 1-1"),
    ],
)
def test_a_wrong_code_gets_one_clear_error(
    shop: Session, paper: PaperMade, words: str, match: str
) -> None:
    before = shop.value("SELECT count(*) FROM entry")
    with pytest.raises(BadPhrase, match=match):
        log_words(shop, words.split(), LogOptions())
    assert shop.value("SELECT count(*) FROM entry") == before
    assert paper.number == 1


def test_without_a_sheet_that_is_said(shop: Session) -> None:
    with pytest.raises(BadPhrase, match="there is no stroke sheet 1; none was printed yet"):
        log_words(shop, ["1-1", "40"], LogOptions())


def test_a_code_typed_twice_asks_back(shop: Session, paper: PaperMade) -> None:
    with pytest.raises(AskBack, match="line 1-2 stands twice"):
        log_words(shop, ["1-2", "40", "1-2", "50"], LogOptions())
    first = log_words(shop, ["1-2", "40"], LogOptions())
    with pytest.raises(AskBack, match=r"line 1-2 was typed already, .* as entry \d+") as caught:
        log_words(shop, ["1-2", "55"], LogOptions(by="nights"))
    assert caught.value.confirm == "typed-already"
    ledger.reverse(shop, ledger.new_stamp(person_id(shop, "")), first.entries, "wrong line")
    log_words(shop, ["1-2", "55"], LogOptions(by="nights"))
    log_words(shop, ["1-2", "55"], LogOptions(confirmed=yes_to("typed-already")))
    assert piece_by_tag(shop, "P-0137").strokes_total == 5 + 55 + 55
    assert paper.number == 1


@pytest.mark.parametrize(
    "sheet",
    [
        "tag,count,about\n1-2,40,\n1-3,60,x\n",
        "line,count,about\n1-2,40,\n1-3,60,x\n",
        "line;tag;count;about\n1-2;P-0137;40;\n1-3;;60;x\n",
        "tag,count,about,thru,material,with,job\n"
        "P-0137,40,,1/4,304,D-0201,J 1\nP-0140,60,x,3/8,A36,,J 1\n",
    ],
)
def test_a_spreadsheet_takes_codes_in_either_column(
    shop: Session, paper: PaperMade, sheet: str
) -> None:
    log_words(
        shop,
        [
            *("P-0137", "40", "thru", "1/4", "304", "with", "D-0201", "job", "J 1"),
            *("P-0140", "60", "about", "thru", "3/8", "A36", "job", "J 1"),
        ],
        LogOptions(),
    )
    by_hand = newest(shop, 3)
    take_sheet(shop, sheet.encode(), "shift.csv", LogOptions())
    assert newest(shop, 3) == by_hand
    assert paper.number == 1


def test_faults_of_codes_in_a_spreadsheet_are_all_listed(shop: Session, paper: PaperMade) -> None:
    log_words(shop, ["1-3", "60"], LogOptions())
    sheet = "line,tag,count\n1-9,,40\nx,,40\n1-2,P-0140,40\n1-2,,40\n1-2,,50\n1-3,,60\n7,P-0137,3\n"
    with pytest.raises(BadRows, match="5 of 7 lines") as caught:
        take_sheet(shop, sheet.encode(), "shift.csv", LogOptions())
    texts = {fault.line: str(fault.text) for fault in caught.value.faults}
    assert "sheet 1 has no line 9" in texts[2]
    assert "line 'x' is no code of a printed line" in texts[3]
    assert "line 1-2 is of P-0137, not of P-0140" in texts[4]
    assert "line 1-2 stands twice" in texts[6]
    assert "line 1-3 was typed already" in texts[7]
    assert paper.number == 1


def test_numbers_that_could_be_tags_are_passed_over(shop: Session, tmp_path: Path) -> None:
    add_piece(shop, "1-4", piece_by_tag(shop, "P-0137").kind_id)
    made = make_paper(shop, PaperRequest(tmp_path / "strokes.pdf"))
    assert made.number == 2
    log_words(shop, ["1-4", "40"], LogOptions())
    assert piece_by_tag(shop, "1-4").strokes_total == 40


def test_each_sheet_has_a_number_of_its_own(shop: Session, tmp_path: Path) -> None:
    for number in (1, 2, 3):
        made = make_paper(
            shop, PaperRequest(tmp_path / "strokes.pdf", confirmed=yes_to("overwrite"))
        )
        assert (made.number, made.lines[0].code) == (number, f"{number}-1")


def test_a_sheet_that_cannot_be_written_keeps_no_number(shop: Session, tmp_path: Path) -> None:
    file = tmp_path / "strokes.pdf"
    with pytest.raises(BadValue, match="blank_lines=61 must be 0 to 60"):
        make_paper(shop, PaperRequest(file, blank=61))
    with pytest.raises(BadValue, match="unknown paper 'napkin'"):
        make_paper(shop, PaperRequest(file, paper="napkin"))
    with pytest.raises(BadValue, match="has no line"):
        make_paper(shop, PaperRequest(file, machine="Ironworker 2", blank=0))
    with pytest.raises(UnknownName, match="no machine called 'Press'"):
        make_paper(shop, PaperRequest(file, machine="Press"))
    assert not file.exists()
    assert shop.value("SELECT count(*) FROM paper") == 0


def test_the_file_must_be_a_new_pdf_in_a_folder(shop: Session, tmp_path: Path) -> None:
    with pytest.raises(BadValue, match=r"must end in \.pdf, found 'strokes\.txt'"):
        make_paper(shop, PaperRequest(tmp_path / "strokes.txt"))
    with pytest.raises(Missing, match="there is no folder"):
        make_paper(shop, PaperRequest(tmp_path / "no" / "strokes.pdf"))
    (tmp_path / "strokes.pdf").write_text("notes")
    with pytest.raises(AskBack, match="is there already"):
        make_paper(shop, PaperRequest(tmp_path / "strokes.pdf"))
    assert (tmp_path / "strokes.pdf").read_text() == "notes"


@given(st.integers(1, 999_999_999), st.integers(1, 9999))
def test_a_code_reads_back_as_what_it_was_made_of(paper: int, line: int) -> None:
    assert parse_code(format_code(paper, line)) == (paper, line)


@given(st.one_of(st.text(), st.from_regex(r"[0-9]{0,11}-[0-9]{0,6}", fullmatch=True)))
def test_a_word_that_reads_as_a_code_is_written_one_way(word: str) -> None:
    read = parse_code(word)
    assert read is None or format_code(*read) == word.strip()


@pytest.mark.parametrize(("paper", "line"), [(0, 1), (1, 0), (-1, 1), (1, 10_000)])
def test_numbers_without_a_code_are_refused(paper: int, line: int) -> None:
    with pytest.raises(BadValue, match="has no code"):
        format_code(paper, line)
