"""The page of a crib whose server stops: nothing half done, and what was pressed counts once."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from crib.desk.book.check import check_crib
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import ServerPlace
from tests.on_engines import on_server
from tests.page.conftest import opened_page
from tests.page.forms import form_on
from tests.shop import small_shop
from tests.stock.engine.server import TestServer, running_server

JSON = {"accept": "application/json"}


@pytest.fixture(scope="module")
def own_server() -> Iterator[TestServer]:
    """One that may be stopped."""
    with running_server() as started:
        yield started


@pytest.fixture
def place(own_server: TestServer, tmp_path: Path) -> Iterator[ServerPlace]:
    with on_server(own_server):
        shop = small_shop(tmp_path / "shop.crib")
        shop.close()
        assert isinstance(shop.place, ServerPlace)
        yield shop.place


def strokes(place: ServerPlace) -> int:
    with closing(open_crib(place)) as session:
        assert check_crib(session).sound
        return int(session.value("SELECT sum(strokes_total) FROM piece"))


def pressed(page: TestClient, count: str) -> dict[str, list[str]]:
    form = form_on(page.get("/strokes").text, "/strokes")
    return form | {"new-tag": ["P-0137"], "new-count": [count], "sure": ["many-strokes"]}


def test_what_is_pressed_while_the_server_is_away_is_sent_later_and_counts_once(
    own_server: TestServer, place: ServerPlace
) -> None:
    with opened_page(place) as page:
        page.post("/who", data={"person": "window", "then": "/"})
        form = pressed(page, "41")
        own_server.stop()
        try:
            away = page.post("/strokes", data=form, headers=JSON)
            looked, asked = page.get("/strokes"), page.get("/strokes", headers=JSON)
        finally:
            own_server.start()
        assert (away.status_code, away.json()["error"]["code"]) == (503, "server-away")
        assert (looked.status_code, asked.status_code) == (503, 503)
        assert "does not answer" in looked.text
        assert strokes(place) == 0
        for _time in range(2):
            sent = page.post("/strokes", data=form, headers=JSON)
            assert (sent.status_code, sent.json()["key"]) == (200, form["key"][0]), sent.text
        assert strokes(place) == 41


def test_a_server_that_was_away_between_two_requests_is_not_noticed(
    own_server: TestServer, place: ServerPlace
) -> None:
    with opened_page(place) as page:
        page.post("/who", data={"person": "window", "then": "/"})
        form = pressed(page, "40")
        own_server.stop()
        own_server.start()
        assert page.post("/strokes", data=form, headers=JSON).status_code == 200
        assert page.get("/").status_code == 200
    assert strokes(place) == 40
