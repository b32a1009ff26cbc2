"""Who acts: a PIN behind a name, what a person may do, and one line of what was done."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from crib.desk.book.pairing import make_program
from crib.desk.book.pins import set_pin
from crib.desk.tables.by_name import keep_person
from crib.page.app import VIEWS, PageApp
from crib.page.frame.reply import View
from crib.page.guard.people import FORGOTTEN_AFTER_S, PeopleAtDevices
from crib.page.guard.rights import ACTS_OF_WORDS, act_of
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.words import PAGE_ACTS
from tests.page.conftest import ORIGIN, OWN

NOBODY = "Who are you?"


@pytest.fixture
def session(crib: Path) -> Iterator[Session]:
    with closing(open_crib(crib)) as opened:
        yield opened


def may(session: Session, person: str, acts: str) -> None:
    """Let somebody do these acts alone."""
    said = {"name": person, "role": "", "may": acts}
    keep_person(session, said, by="", update=True)


def test_a_name_behind_a_pin_is_nobodys_until_it_is_typed(
    page: TestClient, session: Session
) -> None:
    set_pin(session, "bench 2", "4711")
    asked = page.post("/who", data={"person": "bench 2", "then": "/jobs"})
    assert asked.headers["location"] == "/who/pin?person=bench+2&then=%2Fjobs"
    assert NOBODY in page.get("/").text
    form = page.get(asked.headers["location"])
    assert 'type="password"' in form.text
    wrong = page.post("/who/pin", data={"person": "bench 2", "pin": "4712", "then": "/jobs"})
    assert (wrong.status_code, "4712" in wrong.text) == (422, False)
    assert NOBODY in page.get("/").text
    right = page.post("/who/pin", data={"person": "bench 2", "pin": "4711", "then": "/jobs"})
    assert (right.status_code, right.headers["location"]) == (303, "/jobs")
    assert "bench 2" in page.get("/").text


def test_after_three_wrong_pins_the_page_waits(page: TestClient, session: Session) -> None:
    set_pin(session, "bench 2", "4711")
    said = [
        page.post("/who/pin", data={"person": "bench 2", "pin": pin}).status_code
        for pin in ("1", "2", "3", "4711")
    ]
    assert said == [422, 422, 422, 429]
    assert NOBODY in page.get("/").text


def test_the_pin_of_one_opens_no_other_name(page: TestClient, session: Session) -> None:
    set_pin(session, "bench 2", "4711")
    set_pin(session, "nights", "1234")
    page.post("/who/pin", data={"person": "nights", "pin": "4711"})
    assert NOBODY in page.get("/").text


def test_each_browser_of_the_cribs_own_machine_has_its_own_person(page: TestClient) -> None:
    other = TestClient(
        page.app, ORIGIN, headers=dict(page.headers), client=OWN, follow_redirects=False
    )
    other.portal = page.portal
    page.post("/who", data={"person": "bench 2"})
    assert (NOBODY in page.get("/").text, NOBODY in other.get("/").text) == (False, True)
    other.post("/who", data={"person": "nights"})
    assert [">bench 2<" in one.get("/").text for one in (page, other)] == [True, False]
    page.post("/who", data={"person": ""})
    assert (NOBODY in page.get("/").text, ">nights<" in other.get("/").text) == (True, True)


def test_a_person_is_forgotten_after_a_while_but_not_of_a_form() -> None:
    now = [0.0]
    people = PeopleAtDevices(b"s" * 32, lambda: now[0])
    people.at_device("1", "bench 2")
    voucher = people.voucher("1", "bench 2")
    now[0] = FORGOTTEN_AFTER_S - 1
    assert people.at("1") == "bench 2"
    now[0] += FORGOTTEN_AFTER_S + 1
    assert people.at("1") == ""
    assert people.vouched("1", voucher) == "bench 2"


@pytest.mark.parametrize("device", ["2", "", "1\nbench 2"])
def test_a_voucher_is_good_at_its_own_device_alone(device: str) -> None:
    people = PeopleAtDevices(b"s" * 32)
    voucher = people.voucher("1", "bench 2")
    assert people.vouched(device, voucher) == ""
    for forged in ("", ".", "bench 2", f"{voucher}x", voucher.replace("bench 2", "nights")):
        assert people.vouched("1", forged) == ""
    assert PeopleAtDevices(b"t" * 32).vouched("1", voucher) == ""


def test_every_address_that_writes_says_which_sort_of_act_it_is() -> None:
    assert {act_of(view.path) for view in VIEWS if view.writes} <= set(PAGE_ACTS)
    assert set(ACTS_OF_WORDS.values()) == set(PAGE_ACTS)
    with pytest.raises(LookupError):
        act_of("/nowhere")


WRITING = [view for view in VIEWS if view.writes]


@pytest.mark.parametrize("view", WRITING, ids=lambda view: view.path)
@pytest.mark.parametrize("person", ["bench 2", "window"])
def test_who_may_not_does_not(page: TestClient, session: Session, view: View, person: str) -> None:
    path = view.path.replace("{", "").replace("}", "").replace(":path", "")
    for sort in PAGE_ACTS:
        may(session, person, sort)
        page.post("/who", data={"person": person})
        sent = page.post(path, data={"key": f"k-{sort}"}, headers={"accept": "application/json"})
        refused = sent.status_code == 403
        assert refused == (sort != act_of(view.path)), sort
        if refused:
            assert sent.json()["error"]["code"] == "not-allowed"


def test_a_program_acts_for_whom_it_says_but_not_behind_a_pin(crib: Path, session: Session) -> None:
    set_pin(session, "nights", "1234")
    token = make_program(session, "stock system").credential
    headers = {"authorization": f"Bearer {token}", "accept": "application/json"}
    path = next(view.path for view in WRITING if view.needs_person)
    path = path.replace("{", "").replace("}", "").replace(":path", "")
    with TestClient(PageApp(crib).asgi(), base_url=ORIGIN, headers=headers) as program:
        nobody = program.post(path, data={"key": "k-1"})
        assert "for whom" in nobody.json()["error"]["message"]
        guarded = program.post(path, data={"key": "k-1", "by": "nights"})
        assert "has a PIN" in guarded.json()["error"]["message"]
        unknown = program.post(path, data={"key": "k-1", "by": "no one"})
        assert unknown.status_code == 404
        named = program.post(path, data={"key": "k-1", "by": "bench 2"})
        assert "for whom" not in named.text


def test_one_line_tells_a_write(
    page: TestClient, session: Session, caplog: pytest.LogCaptureFixture
) -> None:
    set_pin(session, "nights", "1234")
    path = WRITING[0].path.replace("{", "").replace("}", "").replace(":path", "")
    page.post("/who", data={"person": "bench 2"})
    voucher = "f" * 32
    with caplog.at_level(logging.INFO, "crib.page"):
        page.get("/jobs")
        for _twice in range(2):
            page.post(path, data={"key": 'k-1"\nwrite', "note": "secret", "voucher": voucher})
        page.post("/who/pin", data={"person": "nights", "pin": "9876"})
    told = [record.getMessage() for record in caplog.records]
    assert len(told) == 3
    assert told[0].startswith("write ")
    assert 'by="bench 2" device="own-screen" key="k-1\\"\\nwrite"' in told[0]
    assert "/who/pin" in told[2]
    for line in told:
        assert "\n" not in line
        assert not any(one in line for one in ("secret", voucher, "9876", "1234"))
