"""Pages stay small: their files, and what a phone on bad Wi-Fi has to load."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.house import ROOT

PAGE = ROOT / "crib" / "page"
MOST_LINES, MOST_TEMPLATE, MOST_STYLE = 120, 3_072, 12_288


@pytest.mark.parametrize("file", sorted((PAGE / "views").glob("*.py")), ids=lambda one: one.name)
def test_a_view_is_read_in_one_sitting(file: Path) -> None:
    assert len(file.read_text("utf-8").splitlines()) <= MOST_LINES


@pytest.mark.parametrize(
    "file", sorted((PAGE / "templates").rglob("*.html")), ids=lambda one: one.name
)
def test_a_template_is_short(file: Path) -> None:
    assert file.stat().st_size <= MOST_TEMPLATE


def test_the_style_of_all_pages_is_short() -> None:
    assert sum(one.stat().st_size for one in (PAGE / "static").glob("*.css")) <= MOST_STYLE
