"""Laws of every page of a furnished crib, as a German reader is sent it.

What the rooms below say in English is marked as English, so that a browser translates it and a
reading machine says it right; no dot stands between something and nothing. In either language a
page is soon loaded on bad Wi-Fi.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from tests.browser.furnished import furnished_crib
from tests.browser.test_looks import places
from tests.page.conftest import opened_page

GERMAN = {"accept-language": "de"}
ENGLISH = re.compile(
    r"\b(the|is|are|has|have|cannot|not|its|with|there|this|would|what|which|write|known|only)\b"
)
"""Words that stand in English sentences, in no German ones and in no name of the demo cribs."""
ALONE = ("meta", "link", "input", "img", "br", "path", "rect", "circle", "line", "ellipse")
ADDRESSES = ("/programs", "/openapi.json")
"""What is for programmers names fields and addresses."""
MOST_BYTES = 10_000


class Reader(HTMLParser):
    """Each text of a page, with the language that it is marked in."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[tuple[str, str]] = []
        self._open: list[tuple[str, str]] = [("", "")]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in ALONE:
            self._open.append((tag, dict(attrs).get("lang") or self._open[-1][1]))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Nothing stands in it."""

    def handle_endtag(self, tag: str) -> None:
        while len(self._open) > 1 and self._open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        tag, language = self._open[-1]
        if data.strip() and tag not in ("title", "script", "style"):
            self.texts.append((language, data.strip()))


@pytest.fixture(scope="module", params=[pytest.param("inch", marks=pytest.mark.audit), "metric"])
def shop(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[TestClient, dict[str, str]]]:
    crib: Path = tmp_path_factory.mktemp(request.param) / "demo.crib"
    names = furnished_crib(crib, request.param)
    with opened_page(crib) as client:
        client.post("/who", data={"person": "window"})
        yield client, names


@pytest.mark.parametrize("place", [one for one in places() if one not in ADDRESSES])
def test_english_is_marked_and_no_dot_dangles(
    shop: tuple[TestClient, dict[str, str]], place: str
) -> None:
    client, names = shop
    page = client.get(place.format(**names), headers=GERMAN, follow_redirects=True).text
    reader = Reader()
    reader.feed(page)
    assert {language for language, _text in reader.texts} <= {"de", "en"}
    said = [text for language, text in reader.texts if language == "de" and ENGLISH.search(text)]
    assert said == []
    assert re.findall(r"·\s*</(?:p|li|h1|h2)>|<(?:p|li|h1|h2)[^>]*>\s*·", page) == []


@pytest.mark.parametrize("place", [one for one in places() if one not in ADDRESSES])
def test_a_page_is_soon_loaded(shop: tuple[TestClient, dict[str, str]], place: str) -> None:
    client, names = shop
    for language in ("en", "de"):
        headers = {"accept-language": language}
        page = client.get(place.format(**names), headers=headers, follow_redirects=True)
        assert len(page.content) <= MOST_BYTES, language
