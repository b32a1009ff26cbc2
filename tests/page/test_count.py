"""A drawer counted by touch and scan: the differences shown, then settled, once."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from urllib.parse import parse_qs

import pytest
from starlette.testclient import TestClient

from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.asks import change
from tests.page.conftest import opened_page
from tests.page.forms import form_on
from tests.shop import add_kind, add_piece, small_shop

IN_A2 = ("D-0201", "D-0202", "D-0301", "P-0140")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    made = small_shop(tmp_path / "shop.crib")
    add_piece(made, "P-1", add_kind(made, role="punch", width="1/2", name="<b>half</b>"))
    change(made, "UPDATE place SET name = 'A 3/b' WHERE name = 'A3'")
    change(made, "UPDATE piece SET condition = 'lost' WHERE tag = 'P-1'")
    yield made
    made.close()


@pytest.fixture
def at_window(shop: Session) -> Iterator[TestClient]:
    with opened_page(shop.path) as client:
        client.post("/who", data={"person": "nights"})
        yield client


def ticked(page: str) -> set[str]:
    """The tags that are ticked on a page."""
    return {
        part.partition('"')[0]
        for part in page.split('name="there" value="')[1:]
        if part.partition(">")[0].endswith("checked")
    }


def settled(page: TestClient, key: str, *there: str, why: str = "counted") -> tuple[int, str]:
    """The status of settling drawer A2, and the page it leads to or is."""
    answer = page.post("/count/A2/settle", data={"key": key, "there": list(there), "why": why})
    if answer.status_code == 303:
        return 303, page.get(answer.headers["location"]).text
    return answer.status_code, answer.text


def test_a_drawer_shows_what_should_lie_in_it(at_window: TestClient) -> None:
    shown = at_window.get("/drawer/a2").text
    assert all(f'href="/piece/{tag}"' in shown for tag in IN_A2)
    assert "P-0137" not in shown
    assert 'href="/count/A2"' in shown


def test_a_drawers_name_may_hold_a_slash(at_window: TestClient) -> None:
    assert "Nothing should lie here." in at_window.get("/drawer/A%203%2Fb").text
    assert 'href="/count/A%203%2Fb"' in at_window.get("/count").text
    assert at_window.get("/count/A%203%2Fb").status_code == 200


def test_a_drawers_label_leads_to_its_count(at_window: TestClient) -> None:
    moved = at_window.get("/count", params={"code": "http://crib/drawer/A2"})
    assert moved.headers["location"] == "/count/A2"
    refused = at_window.get("/count", params={"code": "Z9"})
    assert refused.status_code == 404
    assert 'id="code-error"' in refused.text
    assert 'value="Z9"' in refused.text


def test_nothing_is_ticked_before_it_was_seen(at_window: TestClient) -> None:
    shown = at_window.get("/count/A2").text
    assert ticked(shown) == set()
    assert all(f'value="{tag}"' in shown for tag in IN_A2)


def test_scans_and_ticks_add_up(at_window: TestClient) -> None:
    scanned = "d0202 http://crib:1/piece/P-0137 X-9"
    shown = at_window.get("/count/A2", params={"there": ["D-0201"], "also": scanned}).text
    assert ticked(shown) == {"D-0201", "D-0202", "P-0137", "X-9"}
    assert 'id="also" name="also" value=""' in shown
    assert "X-9 is not in the crib" in shown


def test_a_scan_that_cannot_be_read_keeps_the_ticks(at_window: TestClient) -> None:
    shown = at_window.get("/count/A2", params={"there": ["D-0201"], "also": "P-0140 §"})
    assert shown.status_code == 422
    assert ticked(shown.text) == {"D-0201"}
    assert 'id="also-error"' in shown.text
    assert 'value="P-0140 §"' in shown.text


def test_the_differences_say_what_becomes_of_each(at_window: TestClient) -> None:
    there = ["D-0201", "P-0137", "P-1"]
    shown = at_window.get("/count/A2", params={"there": there, "check": "yes"}).text
    assert "1 of 4 are here." in shown
    assert "3 not here" in shown
    assert "marked as lost" in shown
    assert "from now on they lie in A2" in shown
    assert "look them over before use" in shown
    assert "&lt;b&gt;half&lt;/b&gt;" in shown
    assert "Settle 5 differences" in shown


def test_german(at_window: TestClient) -> None:
    german = {"accept-language": "de"}
    shown = at_window.get("/count/A2", params={"check": "yes"}, headers=german).text
    assert "gelten als verloren" in shown


def test_a_count_is_settled_once(at_window: TestClient, shop: Session) -> None:
    for _twice in range(2):
        status, page = settled(at_window, "count-1", "D-0201", "D-0202", "P-0140", "P-0137", "P-1")
        assert status == 303
        assert "A2: 3 differences are settled." in page
    stood = {tag: piece_by_tag(shop, tag) for tag in ("D-0301", "P-0137", "P-1")}
    assert (stood["D-0301"].condition, stood["P-0137"].place) == ("lost", "A2")
    assert (stood["P-1"].condition, stood["P-1"].place) == ("inspect", "A2")
    assert shop.value("SELECT count(*) FROM entry WHERE action = 'count'") == 3


def test_an_empty_drawer_can_be_settled(at_window: TestClient, shop: Session) -> None:
    assert settled(at_window, "count-1")[0] == 303
    assert {piece_by_tag(shop, tag).condition for tag in IN_A2} == {"lost"}


def test_a_reason_is_asked_for_beside_its_field(at_window: TestClient, shop: Session) -> None:
    status, page = settled(at_window, "count-1", "D-0201", why=" ")
    assert status == 422
    assert 'id="why-error"' in page
    assert 'name="kept" value="D-0201"' in page
    assert piece_by_tag(shop, "D-0202").condition == "sound"


def test_what_is_not_in_the_crib_stops_settling(at_window: TestClient, shop: Session) -> None:
    status, page = settled(at_window, "count-1", *IN_A2, "X-9")
    assert status == 422
    assert "not in the crib: X-9" in page
    assert shop.value("SELECT count(*) FROM entry WHERE action = 'count'") == 0


def test_all_there_is_nothing_to_settle(at_window: TestClient) -> None:
    shown = at_window.get("/count/A2", params={"there": IN_A2, "check": "yes"}).text
    assert "4 of 4 are here." in shown
    assert "/settle" not in shown
    assert 'href="/count"' in shown


@pytest.mark.parametrize("place", ["/drawer/Z9", "/count/Z9"])
def test_an_unknown_drawer_is_no_page(at_window: TestClient, place: str) -> None:
    assert at_window.get(place).status_code == 404


def test_looking_writes_nothing(at_window: TestClient, shop: Session) -> None:
    before = shop.value("SELECT count(*) FROM entry")
    at_window.get("/count/A2", params={"there": IN_A2[:1], "check": "yes"})
    assert shop.value("SELECT count(*) FROM entry") == before


def test_who_settles_is_asked_before_and_the_ticks_stay(shop: Session) -> None:
    with opened_page(shop.path) as nobody:
        page = nobody.get("/count/A2", params={"there": "D-0201", "check": "yes"}).text
        assert 'action="/count/A2/settle"' not in page
        then = parse_qs(page.partition('class="button big" href="/who?')[2].partition('"')[0])
        nobody.post("/who", data={"person": "nights"})
        again = nobody.get(then["then"][0]).text
        assert form_on(again, "/count/A2/settle")["kept"] == ["D-0201"]


def test_a_full_drawer_is_counted_over_several_pages(at_window: TestClient, shop: Session) -> None:
    kind = add_kind(shop, role="punch", width="1/4", name="quarter")
    for number in range(200):
        add_piece(shop, f"Q-{number:03}", kind, place="A1")
    page = at_window.get("/count/A1").text
    said = form_on(page, "/count/A1") | {"there": ["Q-000", "Q-049"], "first": ["150"]}
    page = at_window.get("/count/A1", params=said).text
    assert "Q-000" in form_on(page, "/count/A1")["kept"][0]
    assert ("Q-155" in page, "Q-100" in page) == (True, False)
    said = form_on(page, "/count/A1") | {
        "there": [f"Q-{n}" for n in range(150, 198)],
        "check": ["y"],
    }
    compared = at_window.get("/count/A1", params=said).text
    settle = form_on(compared, "/count/A1/settle") | {"key": ["full-1"], "why": ["counted"]}
    assert all(len(one.encode()) <= 10_000 for one in (page, compared))
    assert at_window.post("/count/A1/settle", data=settle).status_code == 303
    there = "SELECT tag FROM piece WHERE tag LIKE 'Q-%' AND condition <> 'lost' ORDER BY tag"
    assert [row[0] for row in shop.rows(there)] == [
        *("Q-000", "Q-049"),
        *(f"Q-{number}" for number in range(150, 198)),
    ]


def test_what_a_program_is_told(metric_page: TestClient) -> None:
    json = {"accept": "application/json"}
    drawers = metric_page.get("/count", headers=json).json()["drawers"]
    counted = metric_page.get(f"/drawer/{drawers[0]}", headers=json).json()
    assert counted["place"] == drawers[0]
    assert counted["expected"]
