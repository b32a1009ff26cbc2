"""Strokes on cards: prefilled, sent as one act, asked back, read back, taken back."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from crib.stock.book.ledger import rebuild
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from tests.desk.planned import plan_job, run
from tests.page.forms import form_on

MACHINE = "Ironworker 1 (north bay)"
STATION = f"{MACHINE} / main punch"
MOST_BYTES = 10_000
Form = dict[str, list[str]]


@pytest.fixture
def page(page: TestClient) -> TestClient:
    """The page, with somebody at it."""
    page.post("/who", data={"person": "lead hand", "then": "/"})
    return page


@pytest.fixture
def session(crib: Path) -> Iterator[Session]:
    opened = open_crib(crib)
    yield opened
    assert rebuild(opened) == []
    opened.close()


def cards(page: TestClient, machine: str = MACHINE, **asked: str) -> Form:
    shown = page.get("/strokes", params={"machine": machine, **asked})
    assert shown.status_code == 200
    return form_on(shown.text, "/strokes")


def card(form: Form, tag: str) -> str:
    """The name of a tag's card."""
    found = next(one for one in form["card"] if f"tag={tag}&" in one)
    return found.split("&")[0].removeprefix("id=")


def ran(form: Form, tag: str, count: int | str | None = None, **other: str) -> Form:
    """The form with one card's count said, or its usual taken as it stands."""
    name = card(form, tag)
    said = {f"{what}-{name}": [value] for what, value in other.items()}
    kept = {field: values for field, values in form.items() if field != f"none-{name}"}
    return kept | said | ({} if count is None else {f"count-{name}": [str(count)]})


def strokes(session: Session) -> list[tuple[Any, ...]]:
    rows = session.rows(
        "SELECT piece.tag, quantity, estimate, entry.job, shift_on FROM entry"
        " JOIN piece ON piece.id = entry.piece_id"
        " WHERE entry.act IN (SELECT act FROM kept_key) ORDER BY entry.id"
    )
    return [tuple(row) for row in rows]


def entries(session: Session) -> int:
    return int(session.value("SELECT count(*) FROM entry"))


def test_many_cards_ask_first_at_which_machine(page: TestClient) -> None:
    shown = page.get("/strokes")
    assert shown.text.count("/strokes?machine=Ironworker%20") == 2


def test_a_card_shows_punch_and_die_and_every_blade_with_what_is_usual(page: TestClient) -> None:
    shown = page.get("/strokes", params={"machine": MACHINE})
    for tags in (("P-0139", "D-0201"), ("B-0605", "B-0607", "B-0608")):
        assert '</span> <span class="whole">+ '.join(tags) in shown.text
    form = form_on(shown.text, "/strokes")
    name = card(form, "P-0139")
    assert (form[f"count-{name}"], form[f"none-{name}"], form[f"plate-{name}"]) == (
        *(["110"], ["1"]),
        ["3/8 A36"],
    )
    assert f"about-{name}" not in form


def test_nobody_counts_without_a_name(page: TestClient) -> None:
    page.post("/who", data={"person": "", "then": "/"})
    assert page.get("/strokes").headers["location"] == "/who?then=/strokes"


def test_all_cards_are_one_act_by_who_drew_them(page: TestClient, session: Session) -> None:
    form = ran(ran(cards(page), "P-0139"), "B-0601", 44, about="1")
    moved = page.post("/strokes", data=form)
    assert moved.status_code == 303
    today = datetime.now().date().isoformat()
    assert strokes(session) == [
        ("P-0139", 110, 0, "", today),
        ("D-0201", 110, 0, "", today),
        ("B-0601", 44, 1, "", today),
        ("B-0603", 44, 1, "", today),
    ]
    assert session.value("SELECT count(*) FROM kept_key") == 1
    told = page.get(moved.headers["location"]).text
    assert f"Counted for {today}: 2 cards, 154 strokes." in told
    assert "By lead hand" in told


def test_a_double_tap_and_a_lost_answer_count_once(page: TestClient, session: Session) -> None:
    form = ran(cards(page), "P-0139")
    answers = {page.post("/strokes", data=form).headers["location"] for _time in range(4)}
    assert len(answers) == 1
    assert len(strokes(session)) == 2


def test_what_became_due_is_told(page: TestClient) -> None:
    moved = page.post("/strokes", data=ran(cards(page), "T-0701", 9000) | {"sure": "many-strokes"})
    assert "Due now: T-0701 (" in page.get(moved.headers["location"]).text


@pytest.mark.parametrize(
    ("filled", "told"),
    [
        ({"count": "4o"}, "expected a count of strokes of P-0139"),
        ({"count": "40", "none": "1"}, "none, and 40 strokes: which of them?"),
        ({"count": "40", "plate": "<script>"}, "expected a thickness"),
    ],
)
def test_a_wrong_card_is_shown_again_as_it_was_filled_in(
    page: TestClient, session: Session, filled: dict[str, str], told: str
) -> None:
    before, form = entries(session), ran(cards(page), "B-0601", 44)
    sent = form | {f"{what}-{card(form, 'P-0139')}": [text] for what, text in filled.items()}
    if "none" not in filled:
        del sent[f"none-{card(form, 'P-0139')}"]
    shown = page.post("/strokes", data=sent)
    assert (shown.status_code, entries(session)) == (422, before)
    assert told in shown.text
    assert 'aria-invalid="true"' in shown.text
    assert "<script>" not in shown.text.replace('<script src="/static', "")
    assert form_on(shown.text, "/strokes") == sent


def test_nothing_filled_in_and_a_piece_that_is_not_known_are_told(page: TestClient) -> None:
    form = cards(page)
    assert "nothing was counted" in page.post("/strokes", data=form).text
    by_hand = form | {"new-tag": ["P-9999"], "new-count": ["4"]}
    shown = page.post("/strokes", data=by_hand)
    assert shown.status_code == 404
    assert form_on(shown.text, "/strokes")["new-tag"] == ["P-9999"]


def test_far_above_the_usual_is_asked_and_nothing_is_lost_meanwhile(
    page: TestClient, session: Session
) -> None:
    before = entries(session)
    form = ran(ran(cards(page), "P-0139", 9000), "B-0601", 44)
    asked = page.post("/strokes", data=form)
    assert (asked.status_code, entries(session)) == (409, before)
    assert "P-0139: 9000 strokes, " in asked.text
    again = form_on(asked.text, "/strokes")
    assert again == form
    assert page.post("/strokes", data=again | {"sure": "many-strokes"}).status_code == 303
    assert strokes(session)[0][:2] == ("P-0139", 9000)


def test_a_program_is_asked_back_by_the_doubts_code(page: TestClient) -> None:
    headers = {"accept": "application/json"}
    form = ran(cards(page), "P-0139", 9000)
    asked = page.post("/strokes", data=form, headers=headers)
    assert (asked.status_code, asked.json()["error"]["confirm"]) == (409, "many-strokes")
    done = page.post("/strokes", data=form | {"sure": "many-strokes"}, headers=headers).json()
    assert done["result"]["lines"][0]["count"] == 9000


def test_a_program_counts_lines_in_words_and_reads_the_cards(
    page: TestClient, session: Session
) -> None:
    headers = {"accept": "application/json"}
    lines = ["P-0137 40 about thru 3/8 A36 with D-0201", "B-0601 12"]
    done = page.post("/strokes", data={"key": "robot-1", "line": lines}, headers=headers).json()
    assert [one["tag"] for one in done["result"]["lines"]] == [
        *("P-0137", "D-0201", "B-0601", "B-0603")
    ]
    shown = page.get("/strokes", params={"machine": MACHINE}, headers=headers).json()
    assert [one["line"]["tag"] for one in shown["cards"]][:2] == ["P-0139", "B-0601"]
    assert strokes(session)[0][:3] == ("P-0137", 40, 1)


def test_strokes_that_only_one_job_needs_are_asked_whose_they_are(
    page: TestClient, session: Session
) -> None:
    plan_job(session, "J-77", run(session, "P-0139", 300, die="D-0201", station=STATION))
    form = cards(page) | {"new-tag": ["P-0139"], "new-count": ["20"], "new-plate": ["3/8 A36"]}
    form |= {f"none-{card(form, 'P-0139')}": ["1"]}
    asked = page.post("/strokes", data=form)
    assert 'name="job" value="J-77">They are of job J-77' in asked.text
    page.post("/strokes", data=form_on(asked.text, "/strokes") | {"job": "J-77"})
    assert {one[3] for one in strokes(session)} == {"J-77"}


def test_a_planned_run_is_prefilled_with_what_is_left_and_counts_for_its_job(
    page: TestClient, session: Session
) -> None:
    plan_job(session, "J-77", run(session, "P-0139", 300, die="D-0201", station=STATION))
    form = cards(page)
    name = card(form, "P-0139")
    assert form[f"count-{name}"] == ["300"]
    assert f"none-{name}" not in form
    page.post("/strokes", data=ran(form, "P-0139", 120))
    assert strokes(session)[0][:4] == ("P-0139", 120, 0, "J-77")
    assert cards(page)[f"count-{name}"] == ["180"]


def test_a_card_means_what_it_was_drawn_from_though_the_plan_is_done_by_then(
    page: TestClient, session: Session
) -> None:
    plan_job(session, "J-77", run(session, "P-0139", 300, die="D-0201", station=STATION))
    form, late = (ran(cards(page), "P-0139", 290 + one) for one in range(2))
    page.post("/strokes", data=form)
    page.post("/strokes", data=late | {"sure": ["many-strokes", "typed-already"]})
    assert [one[:4] for one in strokes(session)[::2]] == [
        ("P-0139", 290, 0, "J-77"),
        ("P-0139", 291, 0, "J-77"),
    ]


def test_the_day_is_the_one_it_was_pressed_unless_another_is_said(
    page: TestClient, session: Session
) -> None:
    now = datetime.now().astimezone()
    pressed = now - timedelta(days=3)
    form = ran(cards(page), "P-0139", 10) | {"pressed_at": [pressed.isoformat()]}
    page.post("/strokes", data=form)
    assert strokes(session)[-1][-1] == pressed.date().isoformat()
    said = (now - timedelta(days=9)).date().isoformat()
    form = ran(cards(page), "P-0139", 11) | {"pressed_at": [pressed.isoformat()], "on": [said]}
    page.post("/strokes", data=form)
    assert strokes(session)[-1][-1] == said


@pytest.mark.parametrize("pressed", ["", "soon", "2999-01-01T00:00:00Z", "1970-01-01T00:00:00Z"])
def test_a_press_that_cannot_be_is_today_and_told(
    page: TestClient, session: Session, pressed: str
) -> None:
    form = ran(cards(page), "P-0139", 10) | {"pressed_at": [pressed]}
    done = page.post("/strokes", data=form)
    assert strokes(session)[-1][-1] == datetime.now().date().isoformat()
    told = page.get(done.headers["location"]).text
    assert (f"clock says {pressed[:16]}, which cannot be" in told) == bool(pressed)


def test_a_tool_by_hand_becomes_a_card_and_what_was_typed_stays(page: TestClient) -> None:
    form = ran(cards(page), "B-0601", 44) | {"new-tag": ["p-0137"], "new-count": ["7"]}
    shown = page.post("/strokes/more", data=form)
    more = form_on(shown.text, "/strokes")
    assert (shown.status_code, more[f"count-{card(more, 'P-0137')}"]) == (200, ["7"])
    assert more[f"count-{card(more, 'B-0601')}"] == ["44"]
    assert f"none-{card(more, 'P-0137')}" not in more
    assert more["new-tag"] == [""]
    unknown = page.post("/strokes/more", data=form | {"new-tag": ["X-1"]})
    assert unknown.status_code == 404
    assert form_on(unknown.text, "/strokes")[f"count-{card(form, 'B-0601')}"] == ["44"]


def test_a_label_leads_to_its_own_card(page: TestClient, session: Session) -> None:
    form = form_on(page.get("/strokes/D-0201").text, "/strokes")
    assert len(form["card"]) == 1
    page.post("/strokes", data=ran(form, "P-0139", 5))
    assert [one[:2] for one in strokes(session)] == [("P-0139", 5), ("D-0201", 5)]
    assert page.get("/strokes/X-1").status_code == 404


def test_an_act_is_read_back_and_taken_back_after_a_question(
    page: TestClient, session: Session
) -> None:
    moved = page.post("/strokes", data=ran(cards(page), "P-0139"))
    place = moved.headers["location"].partition("?")[0]
    asked = page.post(f"{place}/undo", data=form_on(page.get(place).text, f"{place}/undo"))
    assert "that act is 2 entries of 2 pieces" in asked.text
    form = form_on(asked.text, f"{place}/undo") | {"sure": "whole-act"}
    back = page.get(page.post(f"{place}/undo", data=form).headers["location"]).text
    assert back.count("taken back by entry") == 2
    assert "/undo" not in back


def test_a_look_writes_nothing(page: TestClient, crib: Path) -> None:
    written = crib.read_bytes()
    for place in ("/strokes", "/strokes/P-0139", f"/strokes?machine={MACHINE}"):
        assert page.get(place).status_code == 200
    assert crib.read_bytes() == written


def test_the_fullest_page_keeps_to_its_size(page: TestClient, session: Session) -> None:
    runs = [
        run(session, tag, 300, die="D-0201", station=STATION, mark=f"B{one}", phrase="x" * 60)
        for one, tag in enumerate(["P-0137", "P-0139"] * 8)
    ]
    plan_job(session, "J-77 long name of a job", *runs)
    first = page.get("/strokes", params={"machine": MACHINE})
    assert len(first.content) <= MOST_BYTES
    assert "&amp;from=6" in first.text
    assert cards(page)["card"] != cards(page, **{"from": "6"})["card"]


def test_metric_and_german(metric_page: TestClient) -> None:
    metric_page.post("/who", data={"person": "window", "then": "/"})
    shown = metric_page.get("/strokes", headers={"accept-language": "de"})
    assert "<h1>Hübe</h1>" in shown.text
    form = form_on(shown.text, "/strokes")
    assert form[f"plate-{card(form, 'P-0115')}"] == ["10mm S355"]
    sent = ran(form, "P-0115", 30, plate="12 S275")
    moved = metric_page.post("/strokes", data=sent, headers={"accept-language": "de"})
    told = metric_page.get(moved.headers["location"], headers={"accept-language": "de"}).text
    assert "1 Karte, 30 Hübe." in told
    assert "thru 12 mm S275" in told
