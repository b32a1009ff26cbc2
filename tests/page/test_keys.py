"""A form that is sent again: once in the ledger, answered as the first time, and whose it is."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from crib.stock.engine.session import open_crib
from tests.page.conftest import opened_page
from tests.page.forms import form_on

PAIR, SINGLE = 1944, 1940
"""Entries of the demo crib: of an act of two, and of an act of one."""
AS_PROGRAM = {"accept": "application/json"}


@pytest.fixture
def page(page: TestClient) -> TestClient:
    """The page, with somebody at it."""
    touch(page, "lead hand")
    return page


def touch(page: TestClient, person: str) -> None:
    page.post("/who", data={"person": person, "then": "/"})


def taking_back(page: TestClient, entry: int = SINGLE) -> dict[str, list[str]]:
    shown = page.get(f"/written/{entry}").text
    return next(
        form_on(shown, f"/written/{one}/undo")
        for one in (entry, entry - 1)
        if f"/written/{one}/undo" in shown
    )


def send(
    page: TestClient,
    form: dict[str, Any],
    entry: int = SINGLE,
    headers: dict[str, str] | None = None,
) -> Any:
    return page.post(f"/written/{entry}/undo", data=form, headers=headers)


def counters(crib: Path) -> list[str]:
    with_session = open_crib(crib)
    rows = with_session.rows(
        "SELECT person.name FROM entry JOIN person ON person.id = entry.person_id"
        " WHERE action = 'reverse' ORDER BY entry.id"
    )
    with_session.close()
    return [row[0] for row in rows]


def test_a_form_sent_twice_counts_once_and_is_answered_alike(page: TestClient, crib: Path) -> None:
    before, form = counters(crib), taking_back(page)
    first, second = send(page, form), send(page, form)
    assert first.status_code == 303
    assert second.headers["location"] == first.headers["location"]
    assert len(counters(crib)) == len(before) + 1
    assert "Taken back: " in page.get(first.headers["location"]).text


def test_a_program_gets_a_receipt_with_its_key_each_time(page: TestClient, crib: Path) -> None:
    form = taking_back(page)
    first, second = (send(page, form, headers=AS_PROGRAM) for _time in range(2))
    assert first.status_code == 200
    assert first.json() == second.json()
    assert (first.json()["done"], first.json()["key"]) == (True, form["key"][0])


def test_another_request_under_a_used_key_does_nothing_and_can_be_sent_anew(
    page: TestClient, crib: Path
) -> None:
    form = taking_back(page)
    send(page, form)
    written = counters(crib)
    told = send(page, form | {"why": "<script>"})
    assert (told.status_code, counters(crib)) == (422, written)
    assert "by lead hand" in told.text
    assert "Taken back: " in told.text
    assert "<script>" not in told.text.replace('<script src="/static', "")
    anew = form_on(told.text, f"/written/{SINGLE}/undo")
    assert (anew["why"], anew["voucher"]) == (["<script>"], form["voucher"])
    assert anew["key"] != form["key"]
    assert send(page, form | {"why": "x"}, headers=AS_PROGRAM).json()["error"]["code"] == "refused"


def test_a_key_is_free_again_after_an_error(page: TestClient, crib: Path) -> None:
    written, form = counters(crib), taking_back(page)
    assert send(page, form | {"why": " "}).status_code == 422
    assert counters(crib) == written
    assert send(page, form).status_code == 303


@pytest.mark.parametrize("key", ["", "1234", "x" * 81])
def test_without_a_key_that_can_be_nothing_is_done(page: TestClient, crib: Path, key: str) -> None:
    written = counters(crib)
    assert send(page, taking_back(page) | {"key": key}).status_code == 422
    assert counters(crib) == written


def test_an_answer_to_what_was_asked_back_goes_under_the_same_key(
    page: TestClient, crib: Path
) -> None:
    written, form = counters(crib), taking_back(page, PAIR) | {"pressed_at": "2026-01-01T10:00Z"}
    asked = send(page, form, PAIR)
    assert (asked.status_code, counters(crib)) == (409, written)
    again = form_on(asked.text, f"/written/{PAIR}/undo")
    assert again == {**form, "pressed_at": ["2026-01-01T10:00Z"]}
    done = send(page, again | {"sure": "whole-act"}, PAIR)
    assert done.status_code == 303
    assert len(counters(crib)) == len(written) + 2
    # The question that is still open in another window is answered as it was.
    assert send(page, form, PAIR).headers["location"] == done.headers["location"]


def test_a_form_is_its_drawers_though_another_stands_there(page: TestClient, crib: Path) -> None:
    form = taking_back(page)
    touch(page, "nights")
    send(page, form)
    assert counters(crib)[-1] == "lead hand"


def test_a_form_outlives_the_server_with_its_person_and_its_key(
    page: TestClient, crib: Path
) -> None:
    form = taking_back(page)
    with opened_page(crib) as restarted:
        first = send(restarted, form)
    with opened_page(crib) as again:
        assert send(again, form).headers["location"] == first.headers["location"]
    assert counters(crib)[-1] == "lead hand"


def test_the_same_form_is_one_act_whoever_sends_it_again(page: TestClient, crib: Path) -> None:
    form = taking_back(page) | {"voucher": ""}
    first = send(page, form)
    touch(page, "nights")
    assert send(page, form).headers["location"] == first.headers["location"]
    assert counters(crib)[-1] == "lead hand"


def test_a_forged_voucher_is_nobodys(page: TestClient, crib: Path) -> None:
    written, form = counters(crib), taking_back(page)
    touch(page, "")
    signature = form["voucher"][0].partition(".")[0]
    for forged in (f"{signature}.nights", "nights", f"{'0' * 32}.lead hand", "ä.ö"):
        assert send(page, form | {"voucher": forged}, headers=AS_PROGRAM).status_code == 401
    assert counters(crib) == written


def test_without_a_person_a_browser_is_asked_and_an_outbox_told(
    page: TestClient, crib: Path
) -> None:
    written, form = counters(crib), taking_back(page) | {"voucher": ""}
    touch(page, "")
    moved = send(page, form, headers={"referer": f"http://localhost/written/{SINGLE}"})
    assert moved.headers["location"] == f"/who?then=/written/{SINGLE}"
    told = send(page, form, headers=AS_PROGRAM)
    assert (told.status_code, told.json()["error"]["code"]) == (401, "needs-person")
    assert counters(crib) == written


def test_a_form_cannot_say_another_address_than_its_own(page: TestClient, crib: Path) -> None:
    done = send(page, taking_back(page) | {"entry": str(PAIR)})
    assert done.headers["location"].startswith(f"/written/{SINGLE}?")


def test_no_entry_by_that_number_is_404(page: TestClient) -> None:
    for number in ("0", "99999999", "x", "9" * 40):
        assert page.get(f"/written/{number}").status_code == 404
