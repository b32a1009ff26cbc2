"""Broke or lost: locked at once, and what to take instead with its drawer."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from markupsafe import escape
from starlette.testclient import TestClient

from crib.desk.common.cautions import short_cautions
from crib.desk.kit.hand_out import HandOut, lend
from crib.desk.shelf.move import Move, move_pieces
from crib.desk.strokes.log import LogOptions, log_words
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.page.conftest import opened_page
from tests.shop import add_kind, add_piece, small_shop

GERMAN = {"accept-language": "de"}


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    made = small_shop(tmp_path / "shop.crib")
    kind = piece_by_tag(made, "P-0137").kind_id
    add_piece(made, "P-0199", kind, place="A4")
    add_piece(made, "P-1", add_kind(made, role="punch", width="1/2", name="<b>half</b>"))
    move_pieces(made, Move(("P-0137", "D-0201"), "Ironworker 1 / punch"))
    log_words(made, ["P-0137", "40", "thru", "1/4", "A36"], LogOptions())
    yield made
    made.close()


@pytest.fixture
def at_window(shop: Session) -> Iterator[TestClient]:
    with opened_page(shop.path) as client:
        client.post("/who", data={"person": "nights"})
        yield client


def condition(shop: Session, tag: str) -> str:
    return piece_by_tag(shop, tag).condition


def sent(page: TestClient, tag: str, happened: str, **fields: str) -> tuple[int, str]:
    """The status of a report, and the page that it leads to or is."""
    data = {"key": f"break-{tag}", "happened": happened, **fields}
    answer = page.post(f"/broke/{tag}", data=data)
    if answer.status_code == 303:
        return 303, page.get(answer.headers["location"]).text
    return answer.status_code, answer.text


def test_what_is_in_hand_or_at_a_machine_may_be_touched(
    at_window: TestClient, shop: Session
) -> None:
    lend(shop, ["P-1"], HandOut("nights"))
    shown = at_window.get("/broke").text
    for tag in ("P-1", "P-0137", "D-0201"):
        assert f'href="/broke/{tag}"' in shown
    assert 'href="/broke/P-0140"' not in shown
    assert "&lt;b&gt;half&lt;/b&gt;" in shown


def test_a_scanned_label_leads_to_what_happened(at_window: TestClient) -> None:
    for code in ("p137", "http://old-address:8321/piece/P-0137"):
        moved = at_window.get("/broke", params={"code": code})
        assert moved.headers["location"] == "/broke/P-0137"


def test_a_misread_label_comes_back_with_the_near_ones(at_window: TestClient) -> None:
    refused = at_window.get("/broke", params={"code": "P-0138"})
    assert refused.status_code == 404
    assert 'value="P-0138"' in refused.text
    assert "did you mean" in refused.text


def test_what_happened_is_touched_in_pictures(at_window: TestClient) -> None:
    shown = at_window.get("/broke/P-0137").text
    assert shown.count("<svg") == 5
    for happened in ("chipped", "snapped", "shattered", "cracked", "lost"):
        assert f'name="happened" value="{happened}"' in shown
    assert "Abgebrochen" in at_window.get("/broke/P-0137", headers=GERMAN).text


def test_a_key_pressed_in_a_field_reports_nothing(at_window: TestClient) -> None:
    shown = at_window.get("/broke/P-0137").text
    assert shown.index('<button class="skip" disabled') < shown.index('name="happened"')


def test_the_fragments_come_first_then_the_pair_with_its_drawer(
    at_window: TestClient, shop: Session
) -> None:
    status, page = sent(at_window, "P-0137", "snapped")
    assert status == 303
    assert condition(shop, "P-0137") == "broken"
    assert condition(shop, "D-0201") == "inspect"
    fragments = [escape(line) for line in short_cautions(["broken"])]
    assert page.index(fragments[0]) < page.index(fragments[-1]) < page.index("P-0199")
    assert "To go on with hole 13/16 thru 1/4 A36" in page
    assert '<p class="drawer">A4</p>' in page
    assert "P-0199" in page
    assert "/tool/answer?phrase=hole%2013/16%20thru%201/4%20A36" in page
    assert 'href="/piece/D-0201/look"' in page


def test_where_nothing_serves_the_order_line_stands(at_window: TestClient) -> None:
    status, page = sent(at_window, "P-0199", "snapped", plate="2in A36")
    assert status == 303
    assert "Nothing else serves for hole 13/16 thru 2" in page
    assert "To replace it, order" in page


def test_the_plate_that_was_said_counts(at_window: TestClient) -> None:
    _status, page = sent(at_window, "P-0137", "chipped", plate="3/8 A36", note="at the <edge>")
    assert "hole 13/16 thru 3/8 A36" in page


def test_twice_sent_is_one_report(at_window: TestClient, shop: Session) -> None:
    for _twice in range(3):
        assert sent(at_window, "P-0137", "lost")[0] == 303
    assert shop.value("SELECT count(*) FROM entry WHERE action = 'break'") == 1
    assert condition(shop, "P-0137") == "lost"


@pytest.mark.parametrize(
    ("happened", "plate", "field"),
    [("", "", "happened"), ("melted", "", "happened"), ("snapped", "much", "plate")],
)
def test_what_cannot_be_read_comes_back_and_nothing_is_locked(
    at_window: TestClient, shop: Session, happened: str, plate: str, field: str
) -> None:
    status, page = sent(at_window, "P-0137", happened, plate=plate, note="<i>")
    assert status == 422
    assert f'id="{field}-error"' in page
    assert 'name="note" value="&lt;i&gt;"' in page
    assert condition(shop, "P-0137") == "sound"


def test_what_is_broken_already_is_not_broken_again(at_window: TestClient) -> None:
    sent(at_window, "P-0137", "snapped")
    again = at_window.post("/broke/P-0137", data={"key": "another", "happened": "snapped"})
    assert again.status_code == 422
    assert "P-0137 is broken already" in again.text


def test_without_a_report_there_is_no_next(at_window: TestClient) -> None:
    moved = at_window.get("/broke/P-0137/next")
    assert moved.headers["location"] == "/piece/P-0137"


def test_looking_writes_nothing(at_window: TestClient, shop: Session) -> None:
    before = shop.value("SELECT count(*) FROM entry")
    assert at_window.get("/broke/P-0137").status_code == 200
    assert at_window.get("/broke/P-9999").status_code == 404
    assert shop.value("SELECT count(*) FROM entry") == before


def test_a_report_in_a_metric_crib(metric_page: TestClient) -> None:
    metric_page.post("/who", data={"person": "window"})
    program = metric_page.get("/broke", headers={"accept": "application/json"}).json()
    tag = program["machines"][0]["tag"]
    assert sent(metric_page, tag, "lost", plate="12 mm S355")[0] == 303


def test_what_a_program_is_told(at_window: TestClient, shop: Session) -> None:
    told = at_window.post(
        "/broke/P-0137",
        data={"key": "program-1", "happened": "cracked"},
        headers={"accept": "application/json"},
    ).json()
    assert told["result"]["condition"] == "broken"
    assert told["result"]["instead"]["pieces"][0]["tag"] == "P-0199"
    assert open_crib(shop.path).value("SELECT count(*) FROM kept_key") == 1
