"""No answer holds a character that acts on a screen, whatever is stored; none can be typed in."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.stock.engine.opening import open_crib
from crib.unseen import escaped, lines_made_seen, made_seen, one_line, unseen_in
from tests.cli.asking import Window
from tests.demo_crib import demo_crib

ACTING = "\x00\x07\x08\x0b\x1b\x7f\x85\x9b\u200e\u200f\u2028\u202a\u202e\u2066\u2069\ufeff"
NEVER_SHOWN = re.compile(f"[\x00-\x09\x0b-\x1f\x7f-\x9f{re.escape(ACTING)}]")
EVIL = "\x1b[2J\x1b]0;x\x07\u202eabc\x9b31m\r\t\n\u2066z"
TEXTS = (
    *("person.name", "machine.name", "station.name", "place.name", "kind.name", "kind.note"),
    *("kind.supplier", "piece.tag", "piece.note", "entry.note", "entry.job", "entry.material"),
    *("job.name", "job.note", "job_line.mark", "purchase.number", "purchase.supplier"),
    *("purchase.note", "order_line.text", "order_line.supplier", "hold.holder", "want.job"),
    *("want.done_instead", "shop_rule.why", "seat.name", "seat.note", "offer.supplier"),
    *("bundle.name", "bundle.supplier", "paper.title", "sheet.name", "hole_method.text"),
)
READS = (
    "find hole 13/16 thru 3/8 A36",
    "find hole 1-3/16 thru 3/8 A36 --no-want",
    "find hole 13/16 thru 3/8 A36 --checks",
    "due --all",
    "forecast --ics OUT.ics",
    "stock",
    "stock punch round",
    "show 1",
    "history --most 200",
    "buy",
    "buy --csv OUT-buy.csv",
    "jobs",
    "kit",
    "kit late",
    "plan",
    "rules",
    "check",
    "wants",
    "order",
    "holes",
    "log P-9999 5",
    "move P-9999 --to nowhere",
    "export OUT",
)
any_text = st.text(st.characters(), max_size=40)


@given(any_text)
def test_what_is_shown_holds_nothing_that_acts(text: str) -> None:
    assert not NEVER_SHOWN.search(lines_made_seen(text))
    assert not unseen_in(made_seen(text))
    assert "\n" not in made_seen(text)
    assert made_seen(one_line(text)) == made_seen(text)
    if not unseen_in(text):
        assert made_seen(text) == text


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=40))
def test_json_means_the_same_and_holds_nothing_that_acts(text: str) -> None:
    said = escaped(json.dumps({text: [text]}, ensure_ascii=False, indent=1))
    assert json.loads(said) == {text: [text]}
    assert not NEVER_SHOWN.search(said)


def test_a_raw_byte_is_refused_by_its_number() -> None:
    assert unseen_in("caf\udce9") == "U+DCE9"


@pytest.fixture
def demo(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.chdir(tmp_path)
    demo_crib(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


def test_whatever_is_stored_no_answer_acts_on_a_screen(demo: Window, tmp_path: Path) -> None:
    session = open_crib(demo.path)
    session.connection.execute("PRAGMA foreign_keys = OFF")
    session.connection.execute("PRAGMA ignore_check_constraints = ON")
    for one in TEXTS:
        table, column = one.split(".")
        session.connection.execute(f"UPDATE {table} SET {column} = ? || {column}", (EVIL,))
    session.close()
    for words in READS:
        for face in ([], ["--json"]):
            said = demo.ask(*words.replace("OUT", f"{len(face)}out").split(), *face)
            found = NEVER_SHOWN.search(said.out + said.err + said.crib)
            assert not found, (words, face, found)
            assert "should not have happened" not in said.err
    written = [one for one in tmp_path.rglob("*") if one.suffix in (".csv", ".ics")]
    assert len(written) > 10
    for file in written:
        text = file.read_text("utf-8-sig").replace("\r\n", "\n")
        assert not NEVER_SHOWN.search(text), file


@pytest.mark.parametrize("mark", ["\x1b", "\x07", "\u202e", "\u2066", "\x9b", "\udcff", "\u200f"])
@pytest.mark.parametrize(
    "words",
    [
        ("log", "P-0137", "40", "job", "J{}1"),
        ("find", "hole", "13/16{}", "thru", "3/8"),
        ("grind", "P-0137", "--length", "2.7in", "--note", "a{}b"),
        ("move", "P-0137", "--to", "K{}2"),
        ("stock", "--json", "{}punch"),
    ],
)
def test_what_acts_on_a_screen_cannot_be_typed(
    demo: Window, mark: str, words: tuple[str, ...]
) -> None:
    said = demo.ask(*(word.replace("{}", mark) for word in words))
    assert (said.status, said.out) == (2, "")
    assert f"not seen, U+{ord(mark):04X}" in said.err
    assert not NEVER_SHOWN.search(said.err)


def test_a_tab_or_a_line_end_that_is_typed_counts_as_a_blank(demo: Window) -> None:
    said = demo.ask("find", "hole 13/16\tthru\n3/8 A36")
    assert said.status == 0
    assert said.lines[0].endswith("hole 13/16 thru 3/8 A36")
