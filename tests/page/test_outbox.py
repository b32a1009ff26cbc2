"""What an outbox is told: each answer by its status, so that it knows what waits and what stops."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from crib.errors import CribBusy, DiskFull
from crib.page.guard.body_limit import MOST_BYTES
from tests.house import ROOT
from tests.page.test_strokes import cards, page, ran

__all__ = ["page"]
OUTBOX = (ROOT / "crib" / "page" / "static" / "outbox.js").read_text("utf-8")
STOPS = set(json.loads(re.findall(r"STOPS = (\[[0-9, ]+\])", OUTBOX)[0]))
"""What an outbox sets aside, to be looked at; at every other status a post waits."""
Sent = Callable[..., Any]


@pytest.fixture
def send(page: TestClient) -> Sent:
    """Sends strokes as an outbox does, with some fields and headers otherwise."""
    form = ran(cards(page), "P-0139", 10)

    def sent(fields: dict[str, Any] | None = None, to: str = "/strokes", **headers: str) -> Any:
        said = {"accept": "application/json", **headers}
        return page.post(to, data={**form, **(fields or {})}, headers=said)

    return sent


def test_a_receipt_has_the_key_and_the_next_page_each_time(send: Sent) -> None:
    first, second = send(), send()
    assert first.json() == second.json()
    said = first.json()
    assert (said["done"], said["to"][:9]) == (True, "/written/")
    assert said["key"].startswith("page-")


def test_a_doubt_a_fault_and_an_unknown_name_stop_the_post_with_a_code(send: Sent) -> None:
    card = {"new-tag": "P-0137", "new-count": "9000"}
    for fields, status, code in (
        (card, 409, "ask-back"),
        (card | {"new-count": "4o"}, 422, "bad-phrase"),
        (card | {"new-tag": "X-1"}, 404, "unknown-name"),
    ):
        told = send(fields)
        assert (told.status_code, told.json()["error"]["code"]) == (status, code)
        assert status in STOPS


def test_who_is_not_known_waits_and_is_told_so(send: Sent, page: TestClient) -> None:
    page.post("/who", data={"person": "", "then": "/"})
    told = send({"voucher": ""})
    assert (told.status_code, told.json()["error"]["code"]) == (401, "needs-person")
    assert "needs-person" in OUTBOX
    assert told.status_code not in STOPS


@pytest.mark.parametrize(
    "headers",
    [{"host": "elsewhere.example"}, {"host": "crib.elsewhere.example:1"}],
)
def test_under_another_name_it_waits(send: Sent, headers: dict[str, str]) -> None:
    assert send(**headers).status_code == 421
    assert 421 not in STOPS


def test_from_another_page_it_waits_since_no_code_comes_with_that(send: Sent) -> None:
    told = send(origin="http://elsewhere.example")
    assert told.status_code == 403
    assert 403 not in STOPS


def test_a_page_that_is_gone_and_a_post_too_long_stop(send: Sent) -> None:
    assert send(to="/strokes/no/such/page").status_code in STOPS
    assert send({"job": "x" * MOST_BYTES}).status_code in STOPS


@pytest.mark.parametrize("fault", [CribBusy("somebody writes"), DiskFull("the disk is full")])
def test_while_the_crib_cannot_write_it_waits(
    send: Sent, monkeypatch: pytest.MonkeyPatch, fault: Exception
) -> None:
    def refuse(*_values: object, **_facts: object) -> None:
        raise fault

    monkeypatch.setattr("crib.page.views.strokes.log_lines", refuse)
    told = send()
    assert told.status_code >= 500
    assert told.status_code not in STOPS
    monkeypatch.undo()
    assert send().status_code == 200


def test_a_crib_restored_from_before_takes_what_it_does_not_know(
    send: Sent, page: TestClient, crib: Path
) -> None:
    before = crib.read_bytes()
    assert send().status_code == 200
    crib.with_name("other").write_bytes(before)
    for end in ("-wal", "-shm"):
        Path(f"{crib}{end}").unlink(missing_ok=True)
    crib.with_name("other").replace(crib)
    assert send().status_code == 200
    assert page.get(f"/written/{send().json()['result']['entries'][0]}").status_code == 200
