"""Strokes kept for later: in the crib, for the page and the shell, counted once or thrown away."""

from __future__ import annotations

from datetime import datetime

from starlette.testclient import TestClient

from crib.desk.strokes.drafts import StrokeDraft, drafts_kept, keep
from crib.desk.strokes.log import stroke_lines
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from tests.page.forms import form_on
from tests.page.test_strokes import cards, page, ran, session, strokes

__all__ = ["page", "session"]


def keep_one(page: TestClient, count: int) -> str:
    """Keep one card's strokes; the address of the draft."""
    moved = page.post("/strokes", data=ran(cards(page), "P-0139", count) | {"later": "1"})
    shown = page.get(moved.headers["location"])
    assert "1 card kept for later: nothing is counted yet." in shown.text
    return shown.text.split('action="')[1].rpartition("/count")[0]


def send(page: TestClient, place: str) -> str:
    """Press a draft's button; the page that comes of it."""
    moved = page.post(place, data=form_on(page.get("/strokes").text, place))
    return page.get(moved.headers["location"]).text if moved.status_code == 303 else moved.text


def test_what_is_kept_is_shown_at_both_doors_and_counts_when_it_is_said(
    page: TestClient, session: Session
) -> None:
    place = keep_one(page, 12)
    assert strokes(session) == []
    (draft,) = drafts_kept(session, "lead hand")
    today = datetime.now().date().isoformat()
    assert (draft.on, [(line.tag, line.count) for line in draft.lines]) == (today, [("P-0139", 12)])
    assert "<li>P-0139 12 thru 3/8 A36 with D-0201</li>" in page.get("/strokes").text
    assert "1 card, 12 strokes." in send(page, f"{place}/count")
    assert [one[:2] for one in strokes(session)] == [("P-0139", 12), ("D-0201", 12)]
    assert place not in page.get("/strokes").text


def test_a_draft_that_is_thrown_away_counts_nothing(page: TestClient, session: Session) -> None:
    place = keep_one(page, 12)
    form = form_on(page.get("/strokes").text, f"{place}/count")
    assert "1 line thrown away." in send(page, f"{place}/drop")
    gone = page.post(f"{place}/count", data=form)
    assert (gone.status_code, strokes(session)) == (422, [])
    assert "was counted or thrown away" in gone.text


def test_a_draft_is_seen_and_counted_by_who_typed_it_alone(
    page: TestClient, session: Session
) -> None:
    place = keep_one(page, 12)
    form = form_on(page.get("/strokes").text, f"{place}/count") | {"voucher": ""}
    page.post("/who", data={"person": "nights", "then": "/"})
    assert "Kept for later" not in page.get("/strokes").text
    assert page.post(f"{place}/count", data=form).status_code == 422
    assert len(drafts_kept(session, "lead hand")) == 1


def test_a_draft_asks_back_before_it_counts_and_stays_meanwhile(
    page: TestClient, session: Session
) -> None:
    place = f"{keep_one(page, 9000)}/count"
    asked = page.post(place, data=form_on(page.get("/strokes").text, place))
    assert (asked.status_code, strokes(session)) == (409, [])
    assert len(drafts_kept(session, "lead hand")) == 1
    page.post(place, data=form_on(asked.text, place) | {"sure": "many-strokes"})
    assert strokes(session)[0][:2] == ("P-0139", 9000)


def test_a_draft_of_the_shell_is_shown_unless_a_line_of_it_is_only_begun(
    page: TestClient, session: Session
) -> None:
    lines = tuple(stroke_lines(session, ["P-0139", "12"], shop_rules(session)))
    for begun in ("", "400"):
        keep(session, StrokeDraft(lines=lines, begun=begun), "lead hand")
    keep(session, StrokeDraft(begun="7"), "lead hand")
    assert page.get("/strokes").text.count("Kept for later") == 1
