"""The front page and who acts."""

from __future__ import annotations

import re
from html import unescape

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


def test_who_says_their_name_comes_back_to_the_question(page: TestClient) -> None:
    question = "/tool/answer?phrase=hole+13%2F16+thru+3%2F8+A36&quantity=40"
    shown = page.get(question)
    person = re.findall(r'class="person" href="([^"]*)"', shown.text)[0]
    form = page.get(unescape(person)).text
    then = unescape(re.findall(r'name="then" value="([^"]*)"', form)[0])
    moved = page.post("/who", data={"person": "window", "then": then})
    assert moved.headers["location"] == question
