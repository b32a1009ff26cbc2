"""Every text in both languages, with the same slots, and none that nobody asks for."""

from __future__ import annotations

import re
from typing import get_args

import pytest

from crib.acts import Doubt
from crib.desk.common.caution_page import WORKS
from crib.desk.common.cautions import short_cautions
from crib.page.texts import LANGUAGES, best_language, slots_of, table
from tests.house import ROOT
from tests.page.said_below import fixed_workarounds

PAGE = ROOT / "crib" / "page"
CAUTIONS = {line for work in WORKS for line in short_cautions([work])}
"""The cautions come from below, in English; each is its own key."""
AT_THE_SHELL = {"files-not-read", "goes-on-elsewhere", "lines-left", "overwrite", "replace-crib"}
AT_THE_SHELL |= {"strokes-of-earlier-plan"}
"""The doubts about files, whole cribs and plans, which no page makes."""
WAYS = fixed_workarounds()
"""What to do instead comes from below too."""


@pytest.mark.parametrize("key", table())
def test_a_text_is_there_in_every_language_with_the_same_slots(key: str) -> None:
    said = table()[key]
    assert set(said) == set(LANGUAGES)
    assert all(text.strip() for text in said.values())
    assert len({frozenset(slots_of(text)) for text in said.values()}) == 1


@pytest.mark.parametrize("line", sorted(CAUTIONS))
def test_every_caution_is_there_in_every_language(line: str) -> None:
    assert table()[line]["en"] == line
    assert table()[line]["de"] != line


@pytest.mark.parametrize("way", sorted(WAYS))
def test_every_fixed_workaround_is_there_in_every_language(way: str) -> None:
    assert table()[way]["de"] != way


def _sources() -> str:
    files = [*PAGE.rglob("*.py"), *PAGE.rglob("*.html")]
    return "\n".join(file.read_text("utf-8") for file in files)


def test_every_doubt_that_a_page_can_raise_has_its_button() -> None:
    """A doubt without one could be asked back and never answered."""
    assert {doubt for doubt in get_args(Doubt) if f"confirm.{doubt}" not in table()} == AT_THE_SHELL


def test_no_text_stands_there_for_nobody() -> None:
    sources = _sources()
    made = set(re.findall(r"""["']([a-z.\-]+\.)["'] ?~|f["']([a-z.\-]+\.)\{""", sources))
    beginnings = tuple(one for pair in made for one in pair if one)
    unused = [
        key
        for key in table()
        if key.removesuffix(".one") not in sources
        and key not in CAUTIONS
        and key not in WAYS
        and not key.startswith(beginnings)
    ]
    assert not unused


def test_no_template_says_a_word_of_its_own() -> None:
    words = re.compile(r">[^<>{}]*[A-Za-z]{2,}[^<>{}]*<")
    for file in PAGE.rglob("*.html"):
        text = re.sub(r"\{%.*?%\}|\{\{.*?\}\}|\{#.*?#\}", "", file.read_text("utf-8"), flags=re.S)
        assert not words.findall(text), file.name


def test_the_language_is_the_first_that_the_page_speaks() -> None:
    assert best_language("fr-FR,de-AT;q=0.8,en;q=0.5") == "de"
    assert best_language("") == "en"
