"""Take or bring back: into one's own hands, and home again with a touch."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.page.conftest import opened_page
from tests.shop import add_kind, add_piece, small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    made = small_shop(tmp_path / "shop.crib")
    kind = add_kind(made, role="punch", width="1/2", name="<b>half</b>")
    add_piece(made, "P-1", kind, place="Ironworker 2 / punch")
    yield made
    made.close()


@pytest.fixture
def at_window(shop: Session) -> Iterator[TestClient]:
    with opened_page(shop.path) as client:
        client.post("/who", data={"person": "nights"})
        yield client


def place(shop: Session, tag: str) -> str | None:
    return piece_by_tag(shop, tag).place


def sent(page: TestClient, path: str, key: str, **fields: str | list[str]) -> tuple[int, str]:
    """The status of a post, and the page that it leads to or is."""
    answer = page.post(path, data={"key": key, **fields})
    if answer.status_code == 303:
        return 303, page.get(answer.headers["location"]).text
    return answer.status_code, answer.text


def test_who_takes_must_be_known(at_window: TestClient) -> None:
    at_window.post("/who", data={"person": ""})
    assert at_window.get("/lend").headers["location"] == "/who?then=/lend"


def test_scanned_labels_are_in_my_hands_once(at_window: TestClient, shop: Session) -> None:
    tags = "p 137 http://crib:1/piece/D-0201"
    for _twice in range(2):
        status, page = sent(at_window, "/lend", "take-1", tags=tags)
        assert status == 303
        assert "nights has P-0137, D-0201 now." in page
    assert "Back home: A1" in page
    assert "Back home: A2" in page
    assert (place(shop, "P-0137"), place(shop, "D-0201")) == ("nights", "nights")
    assert shop.value("SELECT count(*) FROM entry WHERE action = 'move'") == 2


def test_one_tap_brings_each_home(at_window: TestClient, shop: Session) -> None:
    sent(at_window, "/lend", "take-1", tags="P-0137 D-0201")
    for _twice in range(2):
        status, page = sent(at_window, "/lend/back", "back-1", tag=["P-0137"])
        assert status == 303
        assert "Back: P-0137 → A1." in page
    assert (place(shop, "P-0137"), place(shop, "D-0201")) == ("A1", "nights")


def test_all_of_it_home_at_once(at_window: TestClient, shop: Session) -> None:
    _status, page = sent(at_window, "/lend", "take-1", tags="P-0137 D-0201")
    assert "All 2 back home" in page
    _status, page = sent(at_window, "/lend/back", "back-1", tag=["P-0137", "D-0201"])
    assert "<p>nothing</p>" in page
    assert (place(shop, "P-0137"), place(shop, "D-0201")) == ("A1", "A2")


def test_one_without_a_home_is_asked_where_it_goes(at_window: TestClient, shop: Session) -> None:
    sent(at_window, "/lend", "take-1", tags="P-1")
    status, page = sent(at_window, "/lend/back", "back-1", tag=["P-1"])
    assert status == 409
    assert 'id="drawer-error"' in page
    assert '<input type="hidden" name="tag" value="P-1">' in page
    assert "&lt;b&gt;half&lt;/b&gt;" in page
    assert sent(at_window, "/lend/back", "back-2", tag=["P-1"], drawer="a 4")[0] == 303
    assert place(shop, "P-1") == "A4"


@pytest.mark.parametrize(
    ("fields", "status", "field"),
    [
        ({"tags": "P-0138"}, 404, "tags"),
        ({"tags": ""}, 422, "tags"),
        ({"tags": "P-0137", "until": "soon"}, 422, "until"),
    ],
)
def test_what_cannot_be_taken_comes_back_with_all_that_was_typed(
    at_window: TestClient, shop: Session, fields: dict[str, str], status: int, field: str
) -> None:
    found, page = sent(at_window, "/lend", "take-1", **fields)
    assert found == status
    assert f'id="{field}-error"' in page
    assert all(f'name="{name}" value="{text}"' in page for name, text in fields.items())
    assert place(shop, "P-0137") == "A1"


def test_what_somebody_has_is_not_taken_from_them(at_window: TestClient, shop: Session) -> None:
    sent(at_window, "/lend", "take-1", tags="P-0137")
    at_window.post("/who", data={"person": "bench 2"})
    status, page = sent(at_window, "/lend", "take-2", tags="P-0137")
    assert status == 422
    assert "P-0137 is out with nights" in page
    assert place(shop, "P-0137") == "nights"


def test_looking_writes_nothing(at_window: TestClient, shop: Session) -> None:
    before = shop.value("SELECT count(*) FROM entry")
    assert "Ich nehme es" in at_window.get("/lend", headers={"accept-language": "de"}).text
    assert shop.value("SELECT count(*) FROM entry") == before


def test_a_metric_crib_lends_too(metric_page: TestClient) -> None:
    metric_page.post("/who", data={"person": "window"})
    json = {"accept": "application/json"}
    drawers = metric_page.get("/count", headers=json).json()["drawers"]
    tag = metric_page.get(f"/drawer/{drawers[0]}", headers=json).json()["expected"][0]["tag"]
    assert sent(metric_page, "/lend", "take-1", tags=tag)[0] == 303
    assert metric_page.get("/lend", headers=json).json()["pieces"][0]["home"] == drawers[0]
