"""A scanned label: what is said of a tool, and what is done with it, each once."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, piece_by_tag
from tests.desk.asks import change
from tests.desk.life.test_learning import edge
from tests.page.conftest import opened_page
from tests.shop import add_kind, add_piece, new_crib, small_shop

GERMAN = {"accept-language": "de"}


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    made = small_shop(tmp_path / "shop.crib")
    blade = add_kind(made, role="blade", width="1", shape="", profile="flat", edges=4)
    add_piece(made, "B-1", blade, place="A3")
    punch = add_kind(made, role="punch", width="1/2", length_mm=69.85, name="<b>half</b>")
    add_piece(made, "P-7/X", punch, place="A1", wear=4700)
    yield made
    made.close()


@pytest.fixture
def at_window(shop: Session) -> Iterator[TestClient]:
    with opened_page(shop.path) as client:
        client.post("/who", data={"person": "nights"})
        yield client


def card(shop: Session, tag: str) -> PieceCard:
    return piece_by_tag(shop, tag)


def entries(shop: Session) -> int:
    return int(shop.value("SELECT count(*) FROM entry"))


def posted(page: TestClient, place: str, key: str, **fields: str | list[str]) -> str:
    """What is told after an act."""
    answer = page.post(place, data={"key": key, **fields})
    assert answer.status_code == 303, answer.text
    return page.get(answer.headers["location"]).text


def test_a_tool_is_shown_with_its_place_edge_and_what_is_due(at_window: TestClient) -> None:
    shown = at_window.get("/piece/p-7%2Fx")
    assert shown.status_code == 200
    for said in ("<h1>P-7/X</h1>", "A1", "94 % used, dulling", "Grind it: after this job"):
        assert said in shown.text
    assert "&lt;b&gt;half&lt;/b&gt;" in shown.text
    assert len(shown.content) < 10_000


def test_it_is_said_in_german_too(at_window: TestClient) -> None:
    shown = at_window.get("/piece/P-7%2FX", headers=GERMAN).text
    assert "94 % verbraucht, lässt nach" in shown
    assert "Schleifen: nach diesem Auftrag" in shown


def test_lengths_are_in_the_cribs_unit(at_window: TestClient, tmp_path: Path) -> None:
    assert "<strong>2-3/4 in</strong>" in at_window.get("/piece/P-7%2FX").text
    metric = new_crib(tmp_path / "metric.crib", unit="mm")
    kind = add_kind(metric, role="punch", width="22mm", length_mm=69.85)
    add_piece(metric, "P-1", kind, condition="sound")
    metric.close()
    with opened_page(tmp_path / "metric.crib") as page:
        assert "<strong>69.85 mm</strong>" in page.get("/piece/P-1").text


def test_its_chart_is_the_drawing_of_the_paper(page: TestClient) -> None:
    chart = page.get("/piece/P-0137/chart.svg")
    assert chart.headers["content-type"] == "image/svg+xml"
    assert b"wear of the edge" in chart.content
    assert "/piece/P-0137/chart.svg" in page.get("/piece/P-0137").text


@pytest.mark.parametrize(
    ("headers", "how_sure", "silent", "told"),
    [
        (
            {},
            "9 times in 10 the true count is between 2\u202f861 and 14\u202f028",
            "Of the edge ground nobody said how it was: the setting holds",
            "1 of 2 edges ground were told sharp or dull. Surer with each edge told",
        ),
        (
            GERMAN,
            "9 von 10 Mal liegt die wahre Zahl zwischen 2\u202f861 und 14\u202f028",
            "hat niemand gesagt, wie sie war: es gilt die Einstellung",
            "Von 2 geschliffenen Schneiden wurde bei 1 gesagt, ob sie scharf oder stumpf waren.",
        ),
    ],
)
def test_it_says_how_sure_the_life_of_an_edge_is_and_what_makes_it_surer(
    at_window: TestClient,
    shop: Session,
    headers: dict[str, str],
    how_sure: str,
    silent: str,
    told: str,
) -> None:
    where = "/piece/P-7%2FX"
    shown = at_window.get(where, headers=headers).text
    assert how_sure in shown
    assert 'src="/piece/P-7/X/life.svg"' in shown
    assert silent not in shown
    for found, words in ((None, silent), ("sharp", told)):
        edge(shop, 3000, found, "P-7/X")
        assert words in at_window.get(where, headers=headers).text


def test_the_drawing_of_its_life_shows_the_range(page: TestClient) -> None:
    drawn = page.get("/piece/P-0137/life.svg")
    assert drawn.headers["content-type"] == "image/svg+xml"
    assert b"how long an edge lasts" in drawn.content


def test_a_program_is_told_what_the_shell_is(at_window: TestClient) -> None:
    told = at_window.get("/piece/P-0137", headers={"accept": "application/json"}).json()
    assert (told["tag"], told["place"], told["edge"]) == ("P-0137", "A1", 1)


@pytest.mark.parametrize("place", ["", "/turn", "/measure", "/look", "/chart.svg"])
def test_an_unknown_tag_is_no_page(at_window: TestClient, place: str) -> None:
    assert at_window.get(f"/piece/P-9999{place}").status_code == 404


def test_a_misread_tag_offers_those_that_come_near(at_window: TestClient) -> None:
    shown = at_window.get("/piece/P-0138")
    assert shown.status_code == 404
    assert 'href="/piece/P-0137"' in shown.text
    assert 'action="/scan/photo"' in shown.text


@pytest.mark.parametrize("place", ["", "/turn", "/measure", "/look"])
def test_looking_writes_nothing(at_window: TestClient, shop: Session, place: str) -> None:
    before = entries(shop)
    assert at_window.get(f"/piece/B-1{place}").status_code == 200
    assert entries(shop) == before


def test_taken_and_put_back_each_once(at_window: TestClient, shop: Session) -> None:
    for _twice in range(2):
        assert "nights has P-0137 now." in posted(at_window, "/piece/P-0137/take", "take-1")
    assert card(shop, "P-0137").place == "nights"
    shown = at_window.get("/piece/P-0137").text
    assert "Belongs in A1" in shown
    assert "nights has it until " in shown
    entry = shop.value("SELECT max(id) FROM entry")
    assert f'href="/written/{entry}"' in shown
    assert at_window.get(f"/written/{entry}").status_code == 200
    for _twice in range(2):
        assert "P-0137 is back in A1." in posted(at_window, "/piece/P-0137/back", "back-1")
    assert card(shop, "P-0137").place == "A1"
    assert shop.value("SELECT count(*) FROM entry WHERE action = 'move'") == 2


def test_who_took_it_must_be_known(at_window: TestClient, shop: Session) -> None:
    at_window.post("/who", data={"person": ""})
    asked = at_window.post("/piece/P-0137/take", data={"key": "take-1"})
    assert asked.headers["location"].startswith("/who?then=")
    assert card(shop, "P-0137").place == "A1"


def test_a_blade_is_turned(at_window: TestClient, shop: Session) -> None:
    told = posted(at_window, "/piece/B-1/turn", "turn-1", found="overdue")
    assert "B-1 cuts with edge 2 now; 2 fresh left." in told
    assert card(shop, "B-1").edge == 2


def test_a_punch_has_nothing_to_turn(at_window: TestClient) -> None:
    refused = at_window.post("/piece/P-0137/turn", data={"key": "turn-1", "note": "odd <i>"})
    assert refused.status_code == 422
    assert "has one edge; there is nothing to turn" in refused.text
    assert 'value="odd &lt;i&gt;"' in refused.text


def test_a_measured_size_counts(at_window: TestClient, shop: Session) -> None:
    sizes = {"size": "0.811", "length": "2.7", "why": "small"}
    assert "counts as measured" in posted(at_window, "/piece/P-0137/measure", "m-1", **sizes)
    assert card(shop, "P-0137").measured_width_mm == pytest.approx(20.5994)


def test_a_size_that_cannot_be_read_comes_back_beside_its_field(
    at_window: TestClient, shop: Session
) -> None:
    before = entries(shop)
    sizes = {"size": "ten", "length": "2.7", "why": "small"}
    refused = at_window.post("/piece/P-0137/measure", data={"key": "m-1", **sizes})
    assert refused.status_code == 422
    assert '<p class="error" id="size-error">' in refused.text
    assert 'href="#size"' in refused.text
    assert 'name="size" value="ten"' in refused.text
    assert 'name="length" value="2.7"' in refused.text
    assert entries(shop) == before


def test_an_odd_size_is_asked_back_and_taken_when_it_is_so(
    at_window: TestClient, shop: Session
) -> None:
    sizes = {"key": "m-1", "size": "0.9", "why": "ground wide"}
    asked = at_window.post("/piece/P-0137/measure", data=sizes)
    assert asked.status_code == 409
    assert 'name="sure" value="odd-size"' in asked.text
    assert 'name="size" value="0.9"' in asked.text
    assert card(shop, "P-0137").measured_width_mm is None
    posted(
        at_window, "/piece/P-0137/measure", "m-1", size="0.9", why="ground wide", sure="odd-size"
    )
    assert card(shop, "P-0137").measured_width_mm == pytest.approx(22.86)


def test_a_look_closes_its_line(at_window: TestClient, shop: Session) -> None:
    posted(at_window, "/piece/P-7%2FX/look", "look-1", seen="sharp")
    assert card(shop, "P-7/X").acknowledged == "after_this_job"


def test_what_is_put_off_needs_a_reason_beside_its_field(at_window: TestClient) -> None:
    refused = at_window.post("/piece/P-7%2FX/look", data={"key": "look-1", "seen": "defer"})
    assert refused.status_code == 422
    assert 'id="why-error"' in refused.text
    assert 'value="defer" checked' in refused.text


@pytest.mark.parametrize(
    ("condition", "offered"),
    [
        ("sound", {"strokes", "broke", "grinding", "take"}),
        ("broken", {"grinding", "take"}),
        ("lost", set()),
        ("retired", set()),
    ],
)
def test_only_what_makes_sense_is_offered(
    at_window: TestClient, shop: Session, condition: str, offered: set[str]
) -> None:
    change(shop, "UPDATE piece SET condition = ? WHERE tag = 'P-0137'", condition)
    shown = at_window.get("/piece/P-0137").text
    found = {
        name
        for name, link in (
            ("strokes", 'href="/strokes/P-0137"'),
            ("broke", 'href="/broke/P-0137"'),
            ("grinding", 'href="/grinding/P-0137"'),
            ("take", 'action="/piece/P-0137/take"'),
        )
        if link in shown
    }
    assert found == offered
