"""A job's kit at the page: the walk, out, back with its strokes, each once."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from crib.stock.engine.opening import open_crib
from tests.desk.kitting import FIRST, held, kit_shop, strokes
from tests.page.conftest import opened_page


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    path = tmp_path / "kit.crib"
    kit_shop(path).close()
    return path


@pytest.fixture
def at_window(shop: Path) -> Iterator[TestClient]:
    with opened_page(shop) as client:
        client.post("/who", data={"person": "window"})
        yield client


def _posted(page: TestClient, place: str, key: str, **fields: str) -> str:
    answer = page.post(place, data={"key": key, **fields})
    assert answer.status_code == 303, answer.text
    return page.get(answer.headers["location"]).text


def test_the_walk_names_each_drawer_and_what_to_take_from_it(at_window: TestClient) -> None:
    shown = at_window.get(f"/kit/{FIRST}")
    assert shown.status_code == 200
    assert "P-0137" in shown.text
    assert "D-0201" in shown.text


def test_a_kit_goes_out_and_comes_back_with_its_strokes(at_window: TestClient, shop: Path) -> None:
    assert "handed out" in _posted(at_window, f"/kit/{FIRST}/out", "out-1", to="window")
    with_session = open_crib(shop)
    assert held(with_session) == {
        "P-0137": f"{FIRST} out",
        "D-0201": f"{FIRST} out",
    }
    told = _posted(at_window, f"/kit/{FIRST}/back", "back-1", **{"count:P-0137": "37"})
    assert "2 pieces are back." in told
    assert held(with_session) == {}
    assert strokes(with_session)["P-0137"] == 37
    with_session.close()


def test_the_same_press_twice_counts_once(at_window: TestClient, shop: Path) -> None:
    _posted(at_window, f"/kit/{FIRST}/out", "out-1", to="window")
    for _again in range(3):
        _posted(at_window, f"/kit/{FIRST}/back", "back-1")
    session = open_crib(shop)
    assert strokes(session)["P-0137"] == 40
    session.close()


def test_a_kit_can_be_promised_and_let_go(at_window: TestClient, shop: Path) -> None:
    assert "2 pieces are promised." in _posted(at_window, f"/kit/{FIRST}/hold", "hold-1")
    assert "2 pieces are free again." in _posted(at_window, f"/kit/{FIRST}/release", "free-1")
    session = open_crib(shop)
    assert held(session) == {}
    session.close()


def test_a_job_that_is_not_there_is_not_found(at_window: TestClient) -> None:
    for place in ("/kit/none", "/jobs/none", "/jobs/none/set-up"):
        assert at_window.get(place).status_code == 404


def test_nobody_takes_a_kit_without_saying_who(shop: Path) -> None:
    with opened_page(shop) as page:
        answer = page.post(f"/kit/{FIRST}/out", data={"key": "out-1"})
        assert answer.headers["location"].startswith("/who?then=")


def test_a_job_shows_its_runs_and_its_sheet(at_window: TestClient) -> None:
    shown = at_window.get(f"/jobs/{FIRST}").text
    assert "0 of 40" in shown
    machine = at_window.get(f"/jobs/{FIRST}/set-up", headers={"accept": "application/json"}).json()
    name = machine["machines"][0]
    sheet = at_window.get(f"/jobs/{FIRST}/set-up.pdf", params={"machine": name})
    assert sheet.content.startswith(b"%PDF")
    elsewhere = at_window.get(f"/jobs/{FIRST}/set-up.pdf", params={"machine": "none"})
    assert elsewhere.status_code == 404


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_board_shows_jobs_what_is_due_and_who_has_what(
    at_window: TestClient, language: str
) -> None:
    _posted(at_window, f"/kit/{FIRST}/out", "out-1", to="window")
    shown = at_window.get("/wall", headers={"accept-language": language})
    assert FIRST in shown.text
    assert "P-0137" in shown.text
    assert 'http-equiv="refresh"' in shown.text


def test_looking_writes_nothing(at_window: TestClient, shop: Path) -> None:
    session = open_crib(shop)
    before = session.state()
    for place in ("/wall", "/jobs", "/kit", f"/kit/{FIRST}", f"/jobs/{FIRST}/set-up"):
        assert at_window.get(place).status_code == 200
    assert session.state() == before
    session.close()
