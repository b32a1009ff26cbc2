"""Between sites at the page: sent once, received once, asked back, and who is where."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.company import small_company
from tests.page.conftest import opened_page
from tests.shop import small_shop


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Session]:
    made = small_company(tmp_path / "company.crib")
    with made.writing():
        made.run("UPDATE site SET name = '<b>South</b>' WHERE id = 2")
        made.run("UPDATE person SET site_id = 2 WHERE name = 'bench 2'")
    yield made
    made.close()


@pytest.fixture
def page(company: Session) -> Iterator[TestClient]:
    with opened_page(company.path) as client:
        yield client


def sent(page: TestClient, path: str, key: str, **fields: str | list[str]) -> tuple[int, str]:
    """The status of a post, and the page that it leads to or is."""
    answer = page.post(path, data={"key": key, **fields})
    if answer.status_code == 303:
        return 303, page.get(answer.headers["location"]).text
    return answer.status_code, answer.text


def place(company: Session, tag: str) -> str | None:
    return piece_by_tag(company, tag).place


def test_a_tool_goes_and_comes_once_each(page: TestClient, company: Session) -> None:
    page.post("/who", data={"person": "nights"})
    for _twice in range(2):
        status, text = sent(page, "/ways/send", "k-1", tags="p 137 D-0201", to="<b>South</b>")
        assert status == 303
        assert "P-0137, D-0201 on the way to &lt;b&gt;South&lt;/b&gt;, there by" in text
    assert "&lt;b&gt;South&lt;/b&gt;, there by" in page.get("/piece/P-0137").text
    page.post("/who", data={"person": "bench 2"})
    text = page.get("/ways").text
    assert 'value="P-0137"' in text
    assert "<b>South" not in text
    for _twice in range(2):
        status, text = sent(page, "/ways/arrive", "k-2", tag=["P-0137", "D-0201"], drawer="S1")
        assert (status, "Here now: P-0137 → S1, D-0201 → S1." in text) == (303, True)
    assert company.value("SELECT count(*) FROM entry WHERE action = 'move'") == 4


def test_the_head_and_the_lists_are_of_the_persons_site(page: TestClient) -> None:
    page.post("/who", data={"person": "nights"})
    assert "· North</a>" in page.get("/").text
    assert "Between sites" in page.get("/").text
    page.post("/who", data={"person": "bench 2"})
    assert "· &lt;b&gt;South&lt;/b&gt;</a>" in page.get("/").text
    assert (
        page.get("/wall", headers={"accept": "application/json"}).json()["answered_from"]["site"]
        == "<b>South</b>"
    )


def test_what_cannot_be_is_said_with_what_was_typed(page: TestClient, company: Session) -> None:
    page.post("/who", data={"person": "nights"})
    status, text = sent(page, "/ways/send", "k-1", tags="P-0501", to="East")
    assert status == 409 or status == 422
    assert "P-0501 is at &lt;b&gt;South" in text
    assert 'value="P-0501"' in text
    sent(page, "/ways/send", "k-2", tags="P-0137", to="East")
    status, text = sent(page, "/ways/arrive", "k-3", tag="P-0137")
    assert "does not come here" in text
    assert place(company, "P-0137") == "North > East"


def test_a_look_writes_nothing_and_german_is_german(page: TestClient, company: Session) -> None:
    before = company.state()
    text = page.get("/ways?tags=P-0137", headers={"accept-language": "de"}).text
    assert "Zwischen den Standorten" in text
    assert 'value="P-0137"' in text
    assert company.state() == before


def test_one_shop_has_no_door_between_sites(tmp_path: Path) -> None:
    small_shop(tmp_path / "shop.crib").close()
    with opened_page(tmp_path / "shop.crib") as page:
        assert "/ways" not in page.get("/").text
        assert "/ways" not in page.get("/piece/P-0137").text
        page.post("/who", data={"person": "nights"})
        status, text = sent(page, "/ways/send", "k", tags="P-0137", to="South")
        assert "this crib has not several sites" in text
        assert status in (409, 422)
