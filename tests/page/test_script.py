"""The page's own script: small, without what a strict page forbids; what it needs beside it."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from crib.page.texts import texts_of
from tests.house import ROOT

PAGE = ROOT / "crib" / "page"
SCRIPTS = sorted((PAGE / "static").glob("*.js"))
MOST_BYTES = 8 * 1024
FORBIDDEN = (
    "innerHTML",
    "outerHTML",
    "insertAdjacentHTML",
    "document.write",
    "eval(",
    "Function(",
    "javascript:",
    "randomUUID",
    "setTimeout('",
    "http:",
    "https:",
)


def test_all_script_together_keeps_to_its_size(page: TestClient) -> None:
    sent = [page.get(f"/static/{file.name}") for file in SCRIPTS]
    assert {one.status_code for one in sent} == {200}
    assert sum(len(one.content) for one in sent) <= MOST_BYTES


def test_a_script_is_sent_without_its_comments_and_once(page: TestClient) -> None:
    sent = page.get("/static/outbox.js")
    assert b"\n//" not in sent.content
    assert b"\n\t" not in sent.content
    again = page.get("/static/outbox.js", headers={"if-none-match": sent.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert page.get("/static/none.js").status_code == 404


def test_no_script_breaks_a_text_over_lines() -> None:
    for file in SCRIPTS:
        assert all(line.count("`") % 2 == 0 for line in file.read_text("utf-8").splitlines())


@pytest.mark.parametrize("word", FORBIDDEN)
def test_no_script_has_a_forbidden_construct(word: str) -> None:
    assert not [file.name for file in SCRIPTS if word in file.read_text("utf-8")]


def test_no_template_has_script_or_style_of_its_own() -> None:
    inline = re.compile(r"<script(?![^>]*src=)|<style|\sstyle=|\son[a-z]+=", re.I)
    for file in PAGE.rglob("*.html"):
        assert not inline.search(file.read_text("utf-8")), file.name


def test_every_word_that_the_script_says_comes_with_the_page(page: TestClient) -> None:
    script = (PAGE / "static" / "page.js").read_text("utf-8")
    (said,) = re.findall(r"const \[([a-z, ]+)\] = words", script)
    (sent,) = re.findall(r'<body[^>]* data-words="([^"]*)[|]"', page.get("/").text)
    names, words = said.split(", "), sent.split("|")
    assert dict(zip(names, words, strict=True)) == {
        name: texts_of("en")(f"unsent.{name}") for name in names
    }


def test_the_worker_may_serve_the_whole_page(page: TestClient) -> None:
    worker = page.get("/static/worker.js")
    assert worker.headers["service-worker-allowed"] == "/"
    assert "javascript" in worker.headers["content-type"]


def test_no_two_hooks_go_by_one_name() -> None:
    templates = "".join(file.read_text("utf-8") for file in PAGE.rglob("*.html"))
    keys = re.findall(r"<(\w+)[^>]* data-key=", re.sub(r"\{%.*?%\}", "", templates, flags=re.S))
    assert set(keys) <= {"button"}
