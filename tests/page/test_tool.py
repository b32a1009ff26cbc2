"""Which tool? Found by touching pictures and keys, or by a phrase that is put right."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from crib.features.registry import phrase_forms
from crib.page.texts import table
from crib.page.views.tool import SHAPES


def targets(page: TestClient, address: str) -> dict[str, str]:
    """Where each key of a page leads, by what stands on it."""
    shown = page.get(address)
    assert shown.status_code == 200, shown.text
    links = re.findall(r'<a class="tile[^"]*" href="([^"]*)">(.*?)</a>', shown.text, re.S)
    return {re.sub("<.*?>", "", words).strip(): unescape(to) for to, words in links}


def test_every_shape_that_can_be_asked_has_its_picture_and_its_words(page: TestClient) -> None:
    assert set(SHAPES) == set(phrase_forms())
    assert len(targets(page, "/tool")) == len(SHAPES)
    slots = {f"slot.{slot}" for form, _kind in phrase_forms().values() for slot in form.slots}
    assert slots == {key for key in table() if key.startswith("slot.")}


def test_the_drawer_is_three_keys_and_a_grade_away(page: TestClient) -> None:
    address = targets(page, "/tool")["Round hole"]
    address = targets(page, address)["13/16 in"]
    address = targets(page, address)["3/8 in"]
    assert '<button class="tile" name="material" value="A36">A36</button>' in page.get(address).text
    moved = page.get(f"{address}&material=A36&quantity=30")
    assert moved.headers["location"] == (
        "/tool/answer?phrase=hole+13%2F16+thru+3%2F8+A36&quantity=30"
    )
    assert 'class="drawer"' in page.get(moved.headers["location"]).text


def test_no_material_is_chosen_beforehand(page: TestClient) -> None:
    text = page.get("/tool?shape=hole&width=13/16&thickness=3/8").text
    assert "checked" not in text
    assert "selected" not in text


def test_the_metric_crib_offers_its_own_sizes_with_their_unit(metric_page: TestClient) -> None:
    assert {"20 mm", "22 mm", "26 mm"} <= targets(metric_page, "/tool?shape=hole").keys()
    assert {"M20", "M24"} <= targets(metric_page, "/tool?shape=bolt").keys()
    typed = metric_page.get("/tool?shape=hole&typed=20,6&press=go")
    step = metric_page.get(typed.headers["location"])
    assert "How thick is it?" in step.text
    answer = metric_page.get("/tool?shape=hole&width=20,6&thickness=12&material=S275")
    assert "hole 20.6mm thru 12mm S275" in metric_page.get(answer.headers["location"]).text


def test_the_long_side_goes_with_the_width(page: TestClient) -> None:
    every = targets(page, "/tool?shape=slot")
    address = every["13/16 in"]
    assert "1-7/8 in" in targets(page, address)
    assert "7/8 in" not in targets(page, address)


def test_keys_of_the_page_fill_the_field_without_a_script(page: TestClient) -> None:
    typed = ""
    for key in ("1", "3", "/", "1", "7", "back", "6"):
        text = page.get("/tool", params={"shape": "hole", "typed": typed, "press": key}).text
        typed = unescape(re.findall(r'name="typed" value="([^"]*)"', text)[0])
    assert typed == "13/16"
    moved = page.get("/tool", params={"shape": "hole", "typed": typed, "press": "go"})
    assert moved.headers["location"] == "/tool?shape=hole&width=13%2F16"


def test_a_size_that_cannot_be_read_is_kept_in_its_field(page: TestClient) -> None:
    shown = page.get("/tool?shape=hole&typed=13%2F&press=go")
    assert shown.status_code == 422
    assert 'name="typed" value="13/"' in shown.text
    assert 'aria-invalid="true"' in shown.text


def test_a_shape_that_is_none_is_not_found(page: TestClient) -> None:
    assert page.get("/tool?shape=star").status_code == 404


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_phrase_that_cannot_be_read_is_kept_with_its_word_marked(
    page: TestClient, language: str
) -> None:
    params = {"phrase": "hole 13/16 threw 3/8 A36", "job": "J-1"}
    shown = page.get("/tool/answer", params=params, headers={"accept-language": language})
    assert shown.status_code == 422
    assert 'value="hole 13/16 threw 3/8 A36"' in shown.text
    assert "<mark>threw</mark>" in shown.text
    assert 'name="job" value="J-1"' in shown.text


def test_what_a_phrase_may_mean_are_keys_that_ask_it(page: TestClient) -> None:
    shown = page.get("/tool/answer", params={"phrase": "hole 20 thru 12mm S355"})
    assert shown.status_code == 409
    readings = re.findall(r'<a class="button" href="(/tool/answer[^"]*)">(.*?)</a>', shown.text)
    assert [words for _to, words in readings] == [
        "hole 20mm thru 12mm S355",
        "hole 20in thru 12mm S355",
    ]
    assert page.get(unescape(readings[0][0])).status_code == 200


def test_many_readings_are_told_by_where_they_differ(page: TestClient) -> None:
    shown = page.get("/tool/answer", params={"phrase": "hole 13/16 thru 3/8 steel"})
    assert ">A36</a>" in shown.text
    assert len(shown.text.encode()) < 10_000


@pytest.mark.parametrize("shape", SHAPES)
def test_every_step_is_a_small_page(page: TestClient, shape: str) -> None:
    form, _kind = phrase_forms()[shape]
    said: dict[str, str] = {}
    for slot in form.slots:
        shown = page.get("/tool", params={"shape": shape, **said})
        assert shown.status_code == 200
        assert len(shown.content) < 10_000
        said[slot] = "1/2"
