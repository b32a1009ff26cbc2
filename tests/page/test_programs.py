"""The OpenAPI document is valid, and tells every address of the page and no other."""

from __future__ import annotations

from pathlib import Path

import pytest
from openapi_spec_validator import validate
from starlette.testclient import TestClient

from crib.page.app import PAGES, VIEWS, PageApp
from crib.page.frame.open_api import document, fields_asked, plain_path
from crib.page.frame.reply import FormField, View


def test_the_document_is_valid_and_the_same_at_both_addresses(page: TestClient) -> None:
    said = page.get("/openapi.json").json()
    validate(said)
    other = page.get("/programs", headers={"accept": "application/json"}).json()
    assert {name: other[name] for name in said} == said


def test_it_tells_each_route_and_no_other(page: TestClient, crib: Path) -> None:
    told = {
        (method.upper(), path)
        for path, methods in page.get("/openapi.json").json()["paths"].items()
        for method in methods
    }
    inside = PageApp(crib).asgi().app
    served = {
        (method, plain_path(route.path))
        for route in inside.router.routes  # type: ignore[attr-defined]
        for method in getattr(route, "methods", None) or ()
        if method != "HEAD"
    }
    listing = {("GET", "/programs"), ("GET", "/openapi.json")}
    assert told == served - listing
    assert {(one.method, plain_path(one.path)) for one in VIEWS} == served


def test_no_two_operations_share_a_name(page: TestClient) -> None:
    paths = page.get("/openapi.json").json()["paths"]
    names = [one["operationId"] for methods in paths.values() for one in methods.values()]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("view", PAGES, ids=lambda view: f"{view.method} {view.path}")
def test_each_field_is_told_once_where_it_goes(view: View) -> None:
    said = document([view], "1")["paths"][plain_path(view.path)][view.method.lower()]
    told = [one["name"] for one in said["parameters"]]
    for content in said.get("requestBody", {}).get("content", {}).values():
        told += content["schema"]["properties"]
    assert {one.name for one in view.takes} <= set(told)
    assert len(told) == len(set(told))
    assert ("key" in told) == (view.writes or "key" in {one.name for one in view.takes})


def test_a_file_a_flag_and_a_list_are_told_as_such() -> None:
    def nothing(_asked: object) -> None: ...

    fields = (FormField("photo", "file"), FormField("all", "flag"), FormField("tags", many=True))
    view = View("/x/{tag:path}", nothing, "POST", takes=fields)  # type: ignore[arg-type]
    made = document([view], "1")
    validate(made)
    body = made["paths"]["/x/{tag}"]["post"]["requestBody"]["content"]["multipart/form-data"]
    told = body["schema"]["properties"]
    assert told["photo"]["format"] == "binary"
    assert told["all"]["enum"] == ["yes"]
    assert told["tags"]["type"] == "array"
    assert fields_asked(view) == fields


def test_the_page_for_people_lists_each_address(page: TestClient) -> None:
    text = page.get("/programs").text
    for view in PAGES:
        assert plain_path(view.path) in text
    assert "crib_device" not in text
