"""Needs grinding: the list by risk, and lengths after the grind, many in one act."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from crib.page.views.grinding import AT_ONCE
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, piece_by_tag
from tests.desk.asks import change
from tests.page.conftest import opened_page
from tests.page.forms import form_on
from tests.shop import add_kind, add_piece, new_crib, small_shop

GERMAN = {"accept-language": "de"}


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    made = small_shop(tmp_path / "shop.crib")
    punch = add_kind(made, role="punch", width="1/2", length_mm=69.85, name="<b>half</b>")
    for number in range(3):
        wear = 6000 - 500 * number
        add_piece(made, f"P-{number}", punch, place="A1", wear=wear, length_mm=69.0)
    yield made
    made.close()


@pytest.fixture
def at_window(shop: Session) -> Iterator[TestClient]:
    with opened_page(shop.path) as client:
        client.post("/who", data={"person": "nights"})
        yield client


def card(shop: Session, tag: str) -> PieceCard:
    return piece_by_tag(shop, tag)


def sent(page: TestClient, key: str = "grind-1", **fields: str) -> tuple[int, str]:
    """The status of a post, and the page that it leads to or is."""
    lengths = {name.replace("_", ":", 1).replace("_", "-"): text for name, text in fields.items()}
    answer = page.post("/grinding", data={"key": key, **lengths})
    if answer.status_code == 303:
        return 303, page.get(answer.headers["location"]).text
    return answer.status_code, answer.text


def test_the_greatest_risk_comes_first_with_the_last_length(at_window: TestClient) -> None:
    shown = at_window.get("/grinding").text
    assert shown.index("P-0<") < shown.index("P-1<") < shown.index("P-2<")
    assert "it was 2.717 in, at least " in shown
    assert "&lt;b&gt;half&lt;/b&gt;" in shown
    assert "Grind it: before the next job" in shown


def test_the_list_in_german(at_window: TestClient) -> None:
    shown = at_window.get("/grinding", headers=GERMAN).text
    assert "Länge nach dem Schleifen" in shown
    assert "Schleifen: vor dem nächsten Auftrag" in shown


def test_several_lengths_are_one_act_and_all_go_home(at_window: TestClient, shop: Session) -> None:
    for _twice in range(2):
        status, page = sent(
            at_window, length_P_0="2.7", length_P_2="2.705", length_P_1="", home="y"
        )
        assert status == 303
        assert "Ground: P-0, P-2." in page
    assert [card(shop, f"P-{number}").grinds for number in range(3)] == [1, 0, 1]
    acts = shop.rows("SELECT DISTINCT act FROM entry WHERE action = 'grind'")
    assert len(acts) == 1


def test_a_wrong_length_comes_back_beside_its_field_and_nothing_is_kept(
    at_window: TestClient, shop: Session
) -> None:
    status, page = sent(at_window, length_P_0="2.7", length_P_1="9", note="<i>")
    assert status == 422
    assert '<p class="error" id="length:P-1-error">' in page
    assert 'id="length:P-0-error"' not in page
    assert 'name="length:P-0" value="2.7"' in page
    assert 'name="note" value="&lt;i&gt;"' in page
    assert card(shop, "P-0").grinds == 0


def test_a_list_without_a_length_says_so(at_window: TestClient) -> None:
    status, page = sent(at_window, length_P_0="", length_P_1="")
    assert status == 422
    assert "no length after the grind" in page


def test_a_doubt_is_asked_back_and_then_done(at_window: TestClient, shop: Session) -> None:
    status, page = sent(at_window, length_P_0="2.6")
    assert status == 409
    assert 'name="sure" value="much-ground-off"' in page
    assert 'name="length:P-0" value="2.6"' in page
    assert sent(at_window, length_P_0="2.6", sure="much-ground-off")[0] == 303
    assert card(shop, "P-0").grinds == 1


def test_what_is_ground_too_short_is_locked_by_a_button(
    at_window: TestClient, shop: Session
) -> None:
    lengths = {"P-0": "2.62", "P-1": "2.61"}
    change(shop, "UPDATE kind SET least_length_mm = 66.7 WHERE name = '<b>half</b>'")
    typed = {f"length_{tag.replace('-', '_')}": length for tag, length in lengths.items()}
    status, page = sent(at_window, **typed, sure="much-ground-off")
    assert (status, card(shop, "P-0").grinds) == (409, 0)
    assert "below its least length" in page
    assert ">It is that short: write it down and lock it</button>" in page
    form = form_on(page, "/grinding") | {"sure": ["much-ground-off", "too-short"]}
    assert at_window.post("/grinding", data=form).status_code == 303
    assert [card(shop, tag).condition for tag in lengths] == ["locked", "locked"]


def test_one_tool_may_be_ground_that_is_not_due(at_window: TestClient, shop: Session) -> None:
    shown = at_window.get("/grinding/p-0137").text
    assert 'name="length:P-0137"' in shown
    assert 'name="off:P-0137"' in shown
    status, _page = sent(at_window, tag="P-0137", off_P_0137="0.01")
    assert status == 303
    assert card(shop, "P-0137").ground_um == 254


def test_its_own_page_comes_back_with_what_was_wrong(at_window: TestClient) -> None:
    status, page = sent(at_window, tag="P-0137", length_P_0137="much")
    assert status == 422
    assert "<h1>P-0137 was ground</h1>" in page
    assert 'name="length:P-0137" value="much"' in page


def test_what_to_know_after_a_grind_is_told(at_window: TestClient, shop: Session) -> None:
    kind = add_kind(shop, role="punch", width="1/4", length_mm=70.0)
    add_piece(shop, "P-9", kind, wear=6000, length_mm=67.4)
    status, page = sent(at_window, length_P_9="67.1 mm")
    assert status == 303
    assert "P-9: no grind is left: order a replacement" in page


def test_looking_writes_nothing(at_window: TestClient, shop: Session) -> None:
    before = shop.value("SELECT count(*) FROM entry")
    assert at_window.get("/grinding").status_code == 200
    assert at_window.get("/grinding/P-0137").status_code == 200
    assert at_window.get("/grinding/P-9999").status_code == 404
    assert shop.value("SELECT count(*) FROM entry") == before


def test_a_long_list_is_turned_and_stays_small(at_window: TestClient, shop: Session) -> None:
    kind = card(shop, "P-0").kind_id
    for number in range(AT_ONCE):
        add_piece(shop, f"X-{number}", kind, wear=7000)
    shown = at_window.get("/grinding")
    assert len(shown.content) <= 10_000
    assert "P-0<" not in shown.text
    assert "3 more</a>" in shown.text
    assert "P-0<" in at_window.get(f"/grinding?first={AT_ONCE}").text


def test_metric_lengths_take_a_comma(tmp_path: Path) -> None:
    made = new_crib(tmp_path / "metric.crib", unit="mm")
    add_piece(made, "P-1", add_kind(made, role="punch", width="22mm", length_mm=70.0), wear=6000)
    with opened_page(made.path) as page:
        page.post("/who", data={"person": "window"})
        assert "it was 70 mm" in page.get("/grinding").text
        assert sent(page, length_P_1="69,7")[0] == 303
    assert card(made, "P-1").length_mm == pytest.approx(69.7)
    made.close()


def test_its_keypad_has_the_signs_of_its_unit(
    at_window: TestClient, metric_page: TestClient
) -> None:
    """Script only: without one the device's own keys come up."""
    inch = at_window.get("/grinding/P-0137").text
    assert '<div class="keys" data-keys="length:P-0137" hidden>' in inch
    assert 'data-key="/"' in inch
    metric_page.post("/who", data={"person": "window"})
    json = {"accept": "application/json"}
    tag = metric_page.get("/grinding", headers=json).json()["lines"][0]["tag"]
    metric = metric_page.get(f"/grinding/{tag}").text
    assert 'data-key=","' in metric
    assert 'data-key="/"' not in metric
