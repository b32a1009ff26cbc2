"""A form that is sent again: once in the ledger, answered as the first time, and whose it is."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from crib.stock.engine.opening import open_crib
from tests.page.conftest import opened_page
from tests.page.forms import form_on

AS_PROGRAM = {"accept": "application/json"}


@pytest.fixture
def page(page: TestClient) -> TestClient:
    """The page, with somebody at it."""
    touch(page, "lead hand")
    return page


def touch(page: TestClient, person: str) -> None:
    page.post("/who", data={"person": person, "then": "/"})


def newest(crib: Path, entries: int) -> int:
    """The first entry of the newest act that counted strokes in so many entries."""
    session = open_crib(crib)
    found = session.value(
        "SELECT min(id) FROM entry GROUP BY act HAVING count(*) = ? AND min(action) = 'strokes'"
        " AND max(action) = 'strokes' ORDER BY max(id) DESC LIMIT 1",
        (entries,),
    )
    session.close()
    return int(found)


@dataclass(frozen=True)
class TakingBack:
    """The form that takes one act back."""

    page: TestClient
    place: str

    def form(self) -> dict[str, Any]:
        """Its fields as they are drawn now."""
        return self.drawn_in(self.page.get(self.place).text)

    def drawn_in(self, html: str) -> dict[str, Any]:
        """Its fields as they stand in a page."""
        return form_on(html, f"{self.place}/undo")

    def send(
        self,
        form: dict[str, Any],
        headers: dict[str, str] | None = None,
        page: TestClient | None = None,
    ) -> Any:
        """Send it, through another server where one is given."""
        return (page or self.page).post(f"{self.place}/undo", data=form, headers=headers)


@pytest.fixture
def single(page: TestClient, crib: Path) -> TakingBack:
    """Of an act of one entry."""
    return TakingBack(page, f"/written/{newest(crib, 1)}")


@pytest.fixture
def pair(page: TestClient, crib: Path) -> TakingBack:
    """Of an act of two."""
    return TakingBack(page, f"/written/{newest(crib, 2)}")


def counters(crib: Path) -> list[str]:
    with_session = open_crib(crib)
    rows = with_session.rows(
        "SELECT person.name FROM entry JOIN person ON person.id = entry.person_id"
        " WHERE action = 'reverse' ORDER BY entry.id"
    )
    with_session.close()
    return [row[0] for row in rows]


def test_a_form_sent_twice_counts_once_and_is_answered_alike(
    page: TestClient, crib: Path, single: TakingBack
) -> None:
    before, form = counters(crib), single.form()
    first, second = single.send(form), single.send(form)
    assert first.status_code == 303
    assert second.headers["location"] == first.headers["location"]
    assert len(counters(crib)) == len(before) + 1
    assert "Taken back: " in page.get(first.headers["location"]).text


def test_a_program_gets_a_receipt_with_its_key_each_time(crib: Path, single: TakingBack) -> None:
    form = single.form()
    first, second = (single.send(form, headers=AS_PROGRAM) for _time in range(2))
    assert first.status_code == 200
    assert first.json() == second.json()
    assert (first.json()["done"], first.json()["key"]) == (True, form["key"][0])


def test_another_request_under_a_used_key_does_nothing_and_can_be_sent_anew(
    crib: Path, single: TakingBack
) -> None:
    form = single.form()
    single.send(form)
    written = counters(crib)
    told = single.send(form | {"why": "<script>"})
    assert (told.status_code, counters(crib)) == (422, written)
    assert "by lead hand" in told.text
    assert "Taken back: " in told.text
    assert "<script>" not in told.text.replace('<script src="/static', "")
    anew = single.drawn_in(told.text)
    assert (anew["why"], anew["voucher"]) == (["<script>"], form["voucher"])
    assert anew["key"] != form["key"]
    assert single.send(form | {"why": "x"}, headers=AS_PROGRAM).json()["error"]["code"] == "refused"


def test_a_key_is_free_again_after_an_error(crib: Path, single: TakingBack) -> None:
    written, form = counters(crib), single.form()
    assert single.send(form | {"why": " "}).status_code == 422
    assert counters(crib) == written
    assert single.send(form).status_code == 303


@pytest.mark.parametrize("key", ["", "1234", "x" * 81])
def test_without_a_key_that_can_be_nothing_is_done(
    crib: Path, key: str, single: TakingBack
) -> None:
    written = counters(crib)
    assert single.send(single.form() | {"key": key}).status_code == 422
    assert counters(crib) == written


def test_an_answer_to_what_was_asked_back_goes_under_the_same_key(
    crib: Path, pair: TakingBack
) -> None:
    written, form = counters(crib), pair.form() | {"pressed_at": "2026-01-01T10:00Z"}
    asked = pair.send(form)
    assert (asked.status_code, counters(crib)) == (409, written)
    again = pair.drawn_in(asked.text)
    assert again == {**form, "pressed_at": ["2026-01-01T10:00Z"]}
    done = pair.send(again | {"sure": "whole-act"})
    assert done.status_code == 303
    assert len(counters(crib)) == len(written) + 2
    # The question that is still open in another window is answered as it was.
    assert pair.send(form).headers["location"] == done.headers["location"]


def test_a_form_is_its_drawers_though_another_stands_there(
    page: TestClient, crib: Path, single: TakingBack
) -> None:
    form = single.form()
    touch(page, "nights")
    single.send(form)
    assert counters(crib)[-1] == "lead hand"


def test_a_form_outlives_the_server_with_its_person_and_its_key(
    crib: Path, single: TakingBack
) -> None:
    form = single.form()
    with opened_page(crib) as restarted:
        first = single.send(form, page=restarted)
    with opened_page(crib) as again:
        assert single.send(form, page=again).headers["location"] == first.headers["location"]
    assert counters(crib)[-1] == "lead hand"


def test_the_same_form_is_one_act_whoever_sends_it_again(
    page: TestClient, crib: Path, single: TakingBack
) -> None:
    form = single.form() | {"voucher": ""}
    first = single.send(form)
    touch(page, "nights")
    assert single.send(form).headers["location"] == first.headers["location"]
    assert counters(crib)[-1] == "lead hand"


def test_a_forged_voucher_is_nobodys(page: TestClient, crib: Path, single: TakingBack) -> None:
    written, form = counters(crib), single.form()
    touch(page, "")
    signature = form["voucher"][0].partition(".")[0]
    for forged in (f"{signature}.nights", "nights", f"{'0' * 32}.lead hand", "ä.ö"):
        assert single.send(form | {"voucher": forged}, headers=AS_PROGRAM).status_code == 401
    assert counters(crib) == written


def test_without_a_person_a_browser_is_asked_and_an_outbox_told(
    page: TestClient, crib: Path, single: TakingBack
) -> None:
    written, form = counters(crib), single.form() | {"voucher": ""}
    touch(page, "")
    moved = single.send(form, headers={"referer": f"http://localhost{single.place}"})
    assert moved.headers["location"] == f"/who?then={single.place}"
    told = single.send(form, headers=AS_PROGRAM)
    assert (told.status_code, told.json()["error"]["code"]) == (401, "needs-person")
    assert counters(crib) == written


def test_a_form_cannot_say_another_address_than_its_own(
    crib: Path, single: TakingBack, pair: TakingBack
) -> None:
    done = single.send(single.form() | {"entry": pair.place.rpartition("/")[2]})
    assert done.headers["location"].startswith(f"{single.place}?")


def test_no_entry_by_that_number_is_404(page: TestClient) -> None:
    for number in ("0", "99999999", "x", "9" * 40):
        assert page.get(f"/written/{number}").status_code == 404
