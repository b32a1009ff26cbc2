"""Friday on the page: what to buy, ordered and received; wants kept or struck out."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from itertools import product
from math import ceil
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from starlette.testclient import TestClient

from crib.desk.buying.buy import BuyPlan, plan_buying
from crib.page.texts import table
from crib.page.views.friday import LINES_A_PAGE
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.trade.money.purchase import Purchase
from crib.trade.money.purchase_best import best_purchase
from crib.wording.buying import BUYING

JSON = {"accept": "application/json"}
MOST_BYTES = 10_000
"""Of any page, for a phone on bad Wi-Fi."""


@pytest.fixture
def at_window(page: TestClient) -> TestClient:
    page.post("/who", data={"person": "window", "then": "/"})
    return page


def fields(text: str, action: str) -> dict[str, list[str]]:
    """What a form of the page sends when it is left as it is."""
    inside = text.split(f'action="{action}"')[1].split("</form>")[0]
    made: dict[str, list[str]] = {}
    for tag in re.findall(r"<input[^>]*>", inside):
        name, value = re.findall(r'name="([^"]*)"', tag), re.findall(r'value="([^"]*)"', tag)
        left = "checkbox" in tag or "radio" in tag
        if name and (not left or " checked" in tag):
            made.setdefault(name[0], []).extend(value)
    return made


def count_of(crib: Path, what: str) -> int:
    with closing(open_crib(crib)) as session:
        return int(session.rows(f"SELECT count(*) FROM {what}")[0][0])


def test_lines_stand_under_their_suppliers_with_totals_and_reasons(page: TestClient) -> None:
    plan = page.get("/friday?budget=500", headers=JSON).json()
    shown = page.get("/friday?budget=500")
    assert len(shown.content) < 10_000
    inside = [line for line in plan["lines"] if line["within_budget"]]
    assert inside
    for line in inside:
        assert f'name="line" value="{line["name"]}" checked' in shown.text
    totals: dict[str, int] = {}
    for line in inside:
        totals[line["supplier"]] = totals.get(line["supplier"], 0) + line["price_cents"]
    for supplier, cents in totals.items():
        assert f"{supplier} · USD {cents / 100:,.2f}" in shown.text
    assert f"USD {plan['spent_cents'] / 100:,.2f} in all" in shown.text


@pytest.mark.parametrize(
    ("share", "told"),
    [
        (1.0, "Nothing within the budget gains more."),
        (0.8, "Time ran out: at most 20 % of the best gain may be missed."),
        (None, "Time ran out: whether more could be gained was not found out."),
    ],
)
def test_what_is_known_of_the_best_is_told(
    page: TestClient, monkeypatch: pytest.MonkeyPatch, share: float | None, told: str
) -> None:
    def cut_off(*asked: Any, **more: Any) -> Purchase:
        best = best_purchase(*asked, **more)
        bound = None if share is None else round(best.net_cents / share)
        return replace(best, bound_cents=bound)

    monkeypatch.setattr("crib.desk.buying.choice.best_purchase", cut_off)
    assert told in page.get("/friday?budget=500").text


def test_every_reason_has_its_words() -> None:
    reasons = {key for key in table() if key.startswith("reason.")}
    assert reasons == {f"reason.{code}" for code in BUYING}


def test_a_budget_that_cannot_be_read_is_kept_in_its_field(page: TestClient) -> None:
    shown = page.get("/friday?budget=plenty")
    assert shown.status_code == 422
    assert 'value="plenty"' in shown.text
    assert 'aria-invalid="true"' in shown.text


def test_a_german_reader_of_a_metric_crib_types_and_reads_a_comma(metric_page: TestClient) -> None:
    shown = metric_page.get("/friday?budget=500,50", headers={"accept-language": "de"})
    assert shown.status_code == 200
    assert "Freitag" in shown.text
    assert re.search(r"EUR [\d.]*,\d\d", shown.text)


def test_late_orders_are_told_first_and_no_more_than_a_few(page: TestClient, crib: Path) -> None:
    with closing(open_crib(crib)) as session, session.writing():
        for number in range(8):
            columns = {"text": f"1 punch {number}", "supplier": "<b>North</b>", "quantity": 1}
            session.insert("order_line", {**columns, "ordered_on": "2025-01-01"})
    late = page.get("/friday", headers=JSON).json()["late"]
    assert [one["given_up"] for one in late if one["order"]["supplier"] == "<b>North</b>"] == (
        [True] * 8
    )
    shown = page.get("/friday?budget=500", headers={"accept-language": "de"})
    assert len(shown.content) < 10_000
    assert "Anrufen: überfällig" in shown.text
    assert "&lt;b&gt;North&lt;/b&gt;: 1 ×" in shown.text
    assert shown.text.count("wird nicht mehr erwartet") == 6
    assert f"und {len(late) - 6} weitere überfällig" in shown.text


def test_one_line_is_told_in_full(page: TestClient) -> None:
    first = page.get("/friday", headers=JSON).json()["lines"][0]
    shown = page.get("/friday/line", params={"name": first["name"]})
    assert first["what"] in shown.text
    assert page.get("/friday/line?name=K99999").status_code == 404


def test_the_curve_is_drawn(page: TestClient) -> None:
    shown = page.get("/friday/curve")
    assert shown.headers["content-type"].startswith("image/svg")
    assert "what a tooling budget brings" in shown.text


def test_looking_orders_nothing(page: TestClient, crib: Path) -> None:
    before = [count_of(crib, one) for one in ("want", "purchase", "entry")]
    for place in ("/friday", "/friday/wants", "/friday/orders"):
        assert page.get(place).status_code == 200
    assert [count_of(crib, one) for one in ("want", "purchase", "entry")] == before


def test_ticked_lines_are_ordered_once_and_received(at_window: TestClient, crib: Path) -> None:
    page = at_window
    ticked = fields(page.get("/friday?budget=120").text, "/friday/order")
    form = fields(page.get("/friday/order", params=ticked).text, "/friday/order")
    names = form["line"][0].split()
    assert names
    for _press in range(2):
        moved = page.post("/friday/order", data=form)
        assert moved.status_code == 303, moved.text
    assert "Ordered:" in page.get(moved.headers["location"]).text
    assert sum(
        len(one["lines"]) for one in page.get("/friday/orders", headers=JSON).json()["orders"]
    ) == len(names)
    number = re.findall(r"/friday/orders/(\d{4}-\d+)", page.get("/friday/orders").text)[0]
    form = fields(page.get(f"/friday/orders/{number}").text, f"/friday/orders/{number}/came")
    wrong = page.post(f"/friday/orders/{number}/came", data={**form, "came-1": "many"})
    assert wrong.status_code == 422
    assert 'value="many"' in wrong.text
    moved = page.post(f"/friday/orders/{number}/came", data={**form, "drawer": "K1"})
    assert moved.status_code == 303, moved.text
    assert "they lie in K1" in page.get(moved.headers["location"]).text


def test_nothing_ticked_is_said_so(at_window: TestClient) -> None:
    shown = at_window.get("/friday/order?line=&budget=500")
    assert shown.status_code == 422
    assert "no line is ticked" in shown.text
    assert not re.findall(r'name="line" value="\w+" checked', shown.text)
    assert at_window.post("/friday/order", data={"key": "none-1"}).status_code == 422


def test_what_is_amiss_in_an_order_is_said_beside_what_was_typed(at_window: TestClient) -> None:
    ticked = fields(at_window.get("/friday").text, "/friday/order")
    form = fields(at_window.get("/friday/order", params=ticked).text, "/friday/order")
    typed = {"supplier": "<script>", "needed_by": "2001-01-01"}
    shown = at_window.post("/friday/order", data={**form, **typed})
    assert shown.status_code == 422
    assert 'name="supplier" value="&lt;script&gt;"' in shown.text
    assert f'name="line" value="{form["line"][0]}"' in shown.text


def test_who_orders_is_asked_before_and_the_ticks_are_kept(page: TestClient) -> None:
    first = page.get("/friday", headers=JSON).json()["lines"][0]["name"]
    asked = page.get("/friday/order", params={"line": first, "budget": "500"})
    then = parse_qs(urlsplit(asked.headers["location"]).query)["then"][0]
    moved = page.post("/who", data={"person": "window", "then": then})
    assert f'name="line" value="{first}"' in page.get(moved.headers["location"]).text


def walked(page: TestClient, budget: str, language: str) -> Iterator[str]:
    """Every page of the list, its ticks taken along as a browser does."""
    asked: dict[str, Any] = {"budget": budget} if budget else {}
    while True:
        shown = page.get("/friday", params=asked, headers={"accept-language": language})
        assert shown.status_code == 200
        assert len(shown.content) <= MOST_BYTES
        yield shown.text
        following = re.findall(r'name="page" value="(\d+)"', shown.text)
        here = int(asked.get("page", "1"))
        if str(here + 1) not in following:
            return
        asked = fields(shown.text, "/friday/order") | {"page": str(here + 1)}


@pytest.mark.parametrize("shop", ["page", "metric_page"])
def test_every_line_is_on_one_page_and_all_that_is_ticked_is_ordered(
    request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch, shop: str
) -> None:
    page: TestClient = request.getfixturevalue(shop)
    plans: dict[int | None, BuyPlan] = {}

    def planned_once(session: Session, budget: int | None, **more: Any) -> BuyPlan:
        if budget not in plans:
            plans[budget] = plan_buying(session, budget, **more)
        return plans[budget]

    # Nothing is written here, so that one plan of each budget does for all its pages.
    monkeypatch.setattr("crib.page.views.friday_plan.plan_buying", planned_once)
    page.post("/who", data={"person": "window"})
    for budget, language in product(("", "500"), ("en", "de")):
        lines = page.get(f"/friday?budget={budget}", headers=JSON).json()["lines"]
        texts = list(walked(page, budget, language))
        boxes = re.findall(r'type="checkbox" name="line" value="(\S+?)"', "".join(texts))
        assert sorted(boxes) == sorted(line["name"] for line in lines)
        assert len(texts) == ceil(len(lines) / LINES_A_PAGE)
        ticked = fields(texts[-1], "/friday/order")
        last = page.get("/friday/order", params=ticked, headers={"accept-language": language})
        assert len(last.content) <= MOST_BYTES
        (names,) = fields(last.text, "/friday/order")["line"]
        bought = {line["name"] for line in lines if line["within_budget"] and line["supplier"]}
        assert set(names.split()) == bought


def test_a_tick_taken_away_stays_away_on_the_other_pages(metric_page: TestClient) -> None:
    form = fields(metric_page.get("/friday").text, "/friday/order")
    gone = form["line"].pop()
    turned = metric_page.get("/friday", params=form | {"page": "2"}).text
    back = metric_page.get("/friday", params=fields(turned, "/friday/order") | {"page": "1"}).text
    assert f'value="{gone}">' in back
    assert gone not in " ".join(fields(back, "/friday/order")["line"]).split()
    beyond = metric_page.get("/friday?page=999")
    assert f'value="{gone}"' not in beyond.text
    assert metric_page.get("/friday?page=first").status_code == 422


@pytest.mark.parametrize("how_many", [0, 1])
def test_others_write_while_an_order_is_worked_out(
    at_window: TestClient, crib: Path, monkeypatch: pytest.MonkeyPatch, how_many: int
) -> None:
    """Nothing is locked then; what stands no longer is said, and the same form can be sent."""
    ticked = fields(at_window.get("/friday?budget=120").text, "/friday/order")
    form = fields(at_window.get("/friday/order", params=ticked).text, "/friday/order")
    written: list[int] = []

    def meanwhile(*asked: Any, **more: Any) -> BuyPlan:
        with closing(open_crib(crib)) as other, other.writing():
            other.run("UPDATE person SET name = name")
            if len(written) < how_many:
                columns = {"text": "1 vise", "supplier": "North", "quantity": 1}
                other.insert("order_line", {**columns, "ordered_on": "2026-01-01"})
        written.append(1)
        return plan_buying(*asked, **more)

    monkeypatch.setattr("crib.desk.buying.chosen_lines.plan_buying", meanwhile)
    first = at_window.post("/friday/order", data=form)
    assert first.status_code == (422 if how_many else 303)
    assert ("ordered, struck out or received meanwhile" in first.text) is bool(how_many)
    for _again in range(2):
        assert at_window.post("/friday/order", data=form).status_code == 303
    assert count_of(crib, "purchase") == 1
    assert len(written) == 1 + how_many


def test_a_want_is_struck_out_with_its_reason_and_the_others_are_kept(
    at_window: TestClient, crib: Path
) -> None:
    page = at_window
    wants = page.get("/friday/wants", headers=JSON).json()["lines"]
    form = fields(page.get("/friday/wants").text, "/friday/strike")
    number = str(wants[0]["card"]["id"])
    refused = page.post("/friday/strike", data={**form, "want": number})
    assert refused.status_code == 422, refused.text
    assert f'value="{number}" checked' in refused.text
    moved = page.post("/friday/strike", data={**form, "want": number, "why": "mistyped"})
    assert moved.status_code == 303
    assert "1 want struck out." in page.get(moved.headers["location"]).text
    assert len(page.get("/friday/wants", headers=JSON).json()["lines"]) == len(wants) - 1


def test_an_order_that_is_none_is_not_found(page: TestClient) -> None:
    assert page.get("/friday/orders/2026-9999").status_code == 404
