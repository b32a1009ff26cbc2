"""The answer on the page: drawer, pair and station, or what to do instead; taken, or ordered."""

from __future__ import annotations

import re
from contextlib import closing
from pathlib import Path
from urllib.parse import unquote_plus

import pytest
from starlette.testclient import TestClient

from crib.stock.engine.opening import open_crib

PHRASE = "hole 13/16 thru 3/8 A36"
BIG = "hole 2 thru 3/8 A36"
MISSED = "hexagon 3/8 thru 1/4 A36"
METRIC = "hole 22mm thru 12mm S355"
JSON = "application/json"
EVERY_PLACE = ("/tool/answer", "/tool/why", "/tool/drawing")


def asked(page: TestClient, phrase: str, place: str = "/tool/answer", **more: str) -> str:
    shown = page.get(place, params={"phrase": phrase, **more})
    assert shown.status_code == 200, shown.text
    return shown.text


def form(text: str, action: str) -> dict[str, list[str]]:
    """The hidden fields of a form of the page."""
    inside = text.split(f'action="{action}"')[1].split("</form>")[0]
    made: dict[str, list[str]] = {}
    for name, value in re.findall(r'name="(\w+)" value="([^"]*)"', inside):
        made.setdefault(name, []).append(value)
    return made


def entries(crib: Path) -> int:
    with closing(open_crib(crib)) as session:
        return sum(
            int(session.rows(f"SELECT count(*) FROM {one}")[0][0]) for one in ("entry", "want")
        )


def test_drawer_tag_size_and_station_are_told(page: TestClient) -> None:
    text = asked(page, BIG)
    assert '<p class="drawer">N2</p>' in text
    for word in ("P-0211", "D-0409", "round 2 in", "Ironworker 2 (south bay) / turret 3"):
        assert word in text
    assert "clearance 1/32 in" in text
    assert "Lock the power out" in text


def test_a_program_gets_the_answer_of_the_shell(page: TestClient) -> None:
    shown = page.get("/tool/answer", params={"phrase": BIG}, headers={"accept": JSON})
    assert [one["tag"] for one in shown.json()["picks"][0]["pieces"]] == ["P-0211", "D-0409"]


def test_the_metric_crib_speaks_german_with_a_comma(metric_page: TestClient) -> None:
    shown = metric_page.get(
        "/tool/why", params={"phrase": METRIC}, headers={"accept-language": "de"}
    )
    assert "Schneidspalt" in shown.text
    assert "2,03 mm (Grenze 2,16 mm)" in shown.text
    assert "in Ordnung" in shown.text


def test_every_check_stands_there_with_its_limit_and_source(page: TestClient) -> None:
    text = asked(page, PHRASE, "/tool/why")
    assert "24.4 US tons (limit 50.0 US tons)" in text
    assert "shop rule over public charts" in text


def test_the_pair_is_drawn_and_another_pair_can_be_looked_at(page: TestClient) -> None:
    assert "13/16 in" in asked(page, PHRASE, "/tool/drawing")
    shown = page.get("/tool/answer", params={"phrase": PHRASE}, headers={"accept": JSON})
    first, second = ([tool["tag"] for tool in pick["pieces"]] for pick in shown.json()["picks"][:2])
    for number, tags in (("1", first), ("2", second)):
        text = asked(page, PHRASE, pick=number).split("Other pairs")[0]
        assert all(tag in text for tag in tags)


@pytest.mark.parametrize("place", EVERY_PLACE)
def test_a_pick_that_is_none_is_not_found(page: TestClient, place: str) -> None:
    assert page.get(place, params={"phrase": PHRASE, "pick": "99"}).status_code == 404


@pytest.mark.parametrize("place", EVERY_PLACE)
@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("quantity", "many"),
        ("quantity", "0"),
        ("per_part", "-1"),
        ("exc", "7"),
        ("pick", "x"),
        ("cert_yield_mpa", "strong"),
        ("phrase", "hole thru"),
    ],
)
def test_a_field_that_cannot_be_read_is_refused(
    page: TestClient, place: str, field: str, value: str
) -> None:
    assert page.get(place, params={"phrase": PHRASE, field: value}).status_code == 422


def test_a_script_in_a_phrase_stays_text(page: TestClient) -> None:
    shown = page.get("/tool/answer", params={"phrase": "hole <script>alert(1)</script>"})
    assert shown.status_code == 422
    assert "<script>alert" not in shown.text


def test_looking_writes_nothing(page: TestClient, crib: Path) -> None:
    before = entries(crib)
    for phrase in (PHRASE, MISSED):
        for place in EVERY_PLACE:
            asked(page, phrase, place, job="J-1")
    assert entries(crib) == before


def test_what_nothing_serves_says_why_and_what_to_do(page: TestClient) -> None:
    text = asked(page, MISSED)
    assert "Nothing in the crib does this" in text
    assert "wanted hexagon 3/8 in" in text
    assert "cut it thermally" in text
    assert "1 punch, hexagon 3/8 in" in text


def test_what_to_do_instead_is_said_in_german(page: TestClient) -> None:
    german = {"accept-language": "de"}
    text = page.get("/tool/answer", params={"phrase": MISSED}, headers=german).text
    assert "Dafür ist nichts im Lager" in text
    assert "thermisch schneiden und schleifen" in text


def test_it_is_ordered_once_however_often_it_is_pressed(page: TestClient, crib: Path) -> None:
    page.post("/who", data={"person": "window", "then": "/"})
    fields = form(asked(page, MISSED, quantity="40"), "/tool/order")
    for _press in range(2):
        moved = page.post("/tool/order", data=fields)
        assert moved.status_code == 303
    assert "Noted for buying" in page.get(moved.headers["location"]).text
    with closing(open_crib(crib)) as session:
        wants = session.rows("SELECT quantity, times_asked FROM want WHERE ask = ?", (MISSED,))
        assert [tuple(one) for one in wants] == [(40, 1)]


def test_the_pieces_are_taken_by_who_stands_there(page: TestClient, crib: Path) -> None:
    assert "/who?then=" in asked(page, BIG)
    page.post("/who", data={"person": "window", "then": "/"})
    moved = page.post("/tool/take", data=form(asked(page, BIG), "/tool/take"))
    assert "P-0211 + D-0409: with window now." in page.get(moved.headers["location"]).text
    assert "P-0212" in asked(page, BIG).split("Other pairs")[0]
    with closing(open_crib(crib)) as session:
        out = session.rows("SELECT holder FROM hold WHERE state = 'out' AND job_id IS NULL")
        assert {str(one[0]) for one in out} >= {"window"}


def test_what_stands_in_the_way_at_the_station_is_asked_about(page: TestClient) -> None:
    page.post("/who", data={"person": "window", "then": "/"})
    fields = form(asked(page, BIG), "/tool/mount")
    moved = page.post("/tool/mount", data=fields)
    if moved.status_code == 409:
        moved = page.post("/tool/mount", data=fields | {"sure": "station-taken"})
    assert moved.status_code == 303
    assert "P-0211 + D-0409: in Ironworker 2" in page.get(moved.headers["location"]).text
    assert "Stands mounted in" in asked(page, BIG)


def test_an_address_keeps_all_that_was_asked(page: TestClient) -> None:
    text = asked(page, MISSED, quantity="40", job="J-2611", code="AISC 360")
    again = next(one for one in re.findall(r'href="([^"]*)"', text) if one.startswith("/tool/why"))
    kept = unquote_plus(again.replace("&amp;", "&"))
    assert "quantity=40" in kept
    assert "job=J-2611" in kept
    assert "code=AISC 360" in kept
