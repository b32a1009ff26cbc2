"""The template of a saddle from a phrase to a file."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from crib.acts import yes_to
from crib.desk.answer.wrap import Wrap, WrapRequest, make_wrap
from crib.errors import AskBack, BadPhrase, BadValue, Missing, Refused
from crib.stock.engine.session import Session
from tests.shop import new_crib

PHRASE = "saddle 6 pipe sch 40 onto 8 pipe"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    made = new_crib(tmp_path / "shop.crib")
    yield made
    made.close()


def made(shop: Session, file: Path, phrase: str = PHRASE, **more: Any) -> Wrap:
    """A template, as asked for at the window."""
    return make_wrap(shop, WrapRequest(phrase, file, **more))


def text_of(file: Path) -> str:
    """Everything that is written on the sheets."""
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(file).pages)


def test_it_says_what_was_made(shop: Session, tmp_path: Path) -> None:
    said = made(shop, tmp_path / "a.pdf")
    assert (said.pages, said.paper, said.contact) == (3, "letter", "bore")
    assert said.phrase == "saddle 6 pipe sch 40 onto 8 pipe A53-B"
    assert len(said.ordinates) == 16
    assert said.circumference_mm == pytest.approx(528.65, abs=0.01)
    assert len(PdfReader(tmp_path / "a.pdf").pages) == 3


def test_the_sheet_says_sizes_contact_and_how_to_use_it(shop: Session, tmp_path: Path) -> None:
    made(shop, tmp_path / "a.pdf")
    text = text_of(tmp_path / "a.pdf")
    assert "Branch 6.625 in outside, wall 0.280 in; header 8.625 in outside; 90°" in text
    assert "Touches at the bore" in text
    assert "END LINE" in text
    assert "20.813 in round" in text
    made(shop, tmp_path / "b.pdf", contact="outside")
    assert "Touches at the outside" in text_of(tmp_path / "b.pdf")


def test_a_metric_crib_draws_on_a4_with_a_square_of_25_mm(tmp_path: Path) -> None:
    shop = new_crib(tmp_path / "metric.crib", unit="mm")
    said = made(shop, tmp_path / "a.pdf", "saddle DN50 pipe sch 40 onto DN100 pipe")
    assert (said.paper, said.unit) == ("a4", "mm")
    assert "25 mm" in text_of(tmp_path / "a.pdf")
    assert "Branch 60.3 mm outside, wall 3.91 mm" in text_of(tmp_path / "a.pdf")
    shop.close()


def test_an_inch_and_a_metric_phrase_cut_alike(shop: Session, tmp_path: Path) -> None:
    inch = made(shop, tmp_path / "a.pdf", "saddle 2 pipe sch 40 onto 4 pipe at 60 offset 1/2")
    phrase = "saddle DN50 pipe sch 40 onto DN100 pipe at 60 offset 12.7mm"
    metric = made(shop, tmp_path / "b.pdf", phrase)
    assert inch.ordinates == metric.ordinates


def test_a_file_that_is_there_is_written_over_only_when_asked(
    shop: Session, tmp_path: Path
) -> None:
    file = tmp_path / "a.pdf"
    file.write_bytes(b"mine")
    with pytest.raises(AskBack, match=r"a\.pdf is there already"):
        made(shop, file)
    assert file.read_bytes() == b"mine"
    made(shop, file, confirmed=yes_to("overwrite"))
    assert file.read_bytes().startswith(b"%PDF")


def test_nothing_half_written_stays(
    shop: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_given: object) -> None:
        raise OSError(28, "the disk is full")

    monkeypatch.setattr("crib.files.common.whole_file.os.replace", full)
    with pytest.raises(OSError, match="the disk is full"):
        made(shop, tmp_path / "a.pdf")
    assert list(tmp_path.glob("a.pdf*")) == []


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"paper": "a0"}, "unknown paper 'a0'; known: A4, Letter"),
        ({"contact": "middle"}, "contact='middle' must be bore or outside"),
        ({"lines": 2}, "lines=2 must be 4 to 72"),
    ],
)
def test_a_choice_that_cannot_be_is_refused_and_nothing_is_written(
    shop: Session, tmp_path: Path, more: dict[str, Any], words: str
) -> None:
    with pytest.raises(BadValue, match=words):
        made(shop, tmp_path / "a.pdf", **more)
    assert not (tmp_path / "a.pdf").exists()


def test_a_file_that_is_no_pdf_is_refused(shop: Session, tmp_path: Path) -> None:
    with pytest.raises(BadValue, match=r"must end in \.pdf, found 'pipe'"):
        made(shop, tmp_path / "pipe")


def test_a_folder_that_is_not_there_is_said(shop: Session, tmp_path: Path) -> None:
    with pytest.raises(Missing, match="there is no folder"):
        made(shop, tmp_path / "nowhere" / "a.pdf")


def test_only_a_saddle_is_wrapped(shop: Session, tmp_path: Path) -> None:
    with pytest.raises(Refused, match="for a saddle, not for a hole"):
        made(shop, tmp_path / "a.pdf", "hole 1 thru 1/4")


def test_a_branch_bigger_than_its_header_is_not_a_saddle(shop: Session, tmp_path: Path) -> None:
    with pytest.raises(BadPhrase, match="not a saddle"):
        made(shop, tmp_path / "a.pdf", "saddle 8 pipe onto 6 pipe")


def test_a_wall_that_nobody_named_is_noted_on_the_sheet(shop: Session, tmp_path: Path) -> None:
    said = made(shop, tmp_path / "a.pdf", "saddle 2 pipe onto 4 pipe")
    assert said.notes == ("No wall was named: taken as schedule 40, 0.154 in. Measure it.",)
    assert "No wall was named" in text_of(tmp_path / "a.pdf")


@pytest.mark.parametrize(("angle", "side"), [(60, "left"), (120, "right")])
def test_a_cut_that_has_a_hand_says_which(
    shop: Session, tmp_path: Path, angle: int, side: str
) -> None:
    phrase = f"saddle 2 pipe sch 40 onto 4 pipe at {angle} offset 1/2"
    (note,) = made(shop, tmp_path / "a.pdf", phrase).notes
    assert f"the offset is to the {side}" in str(note)


def test_nothing_is_written_into_the_crib(shop: Session, tmp_path: Path) -> None:
    before = shop.value("SELECT count(*) FROM entry"), shop.value("SELECT count(*) FROM want")
    made(shop, tmp_path / "a.pdf")
    after = shop.value("SELECT count(*) FROM entry"), shop.value("SELECT count(*) FROM want")
    assert after == before
