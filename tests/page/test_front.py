"""The front page and who acts."""

from __future__ import annotations

import re

from starlette.testclient import TestClient


def test_the_front_page_names_the_crib_and_what_people_come_for(page: TestClient) -> None:
    shown = page.get("/")
    assert shown.status_code == 200
    assert "Nowhere Bay Steelwork (demo)" in shown.text
    assert shown.text.count('class="tile"') == 6


def test_a_name_that_was_touched_is_known_until_it_is_forgotten(page: TestClient) -> None:
    assert "Who are you?" in page.get("/").text
    moved = page.post("/who", data={"person": "window", "then": "/"})
    assert (moved.status_code, moved.headers["location"]) == (303, "/")
    assert "Who are you?" not in page.get("/").text


def test_after_a_name_nobody_is_sent_elsewhere(page: TestClient) -> None:
    for elsewhere in ("https://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example"):
        moved = page.post("/who", data={"person": "window", "then": elsewhere})
        assert moved.headers["location"] == "/"


def test_every_door_of_the_front_page_opens(page: TestClient) -> None:
    page.post("/who", data={"person": "window", "then": "/"})
    shown = page.get("/", headers={"accept-language": "de"})
    doors = set(re.findall(r'href="(/[a-z]+)"', shown.text))
    assert {"/tool", "/strokes", "/friday", "/wall", "/count", "/scan"} <= doors
    for door in doors:
        assert page.get(door).status_code == 200, door
