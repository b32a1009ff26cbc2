"""Every page in both cribs: reachable by everybody, no wider than the screen, big enough to touch.

The rules are those of WCAG 2.2, levels A and AA, as axe-core checks them.
"""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from crib.page.app import VIEWS
from tests.browser.conftest import opened

LOOKS = ((320, False, "inch", "en"), (768, True, "metric", "de"), (1280, False, "inch", "de"))
"""Widths, dark or light, crib and language: each page once in each."""

EXAMPLES: dict[str, str] = {
    "/tool/answer": "/tool/answer?phrase=hole+22mm+thru+10mm+S235",
    "/jobs/{job:path}": "",
    "/jobs/{job:path}/set-up": "",
    "/jobs/{job:path}/set-up.pdf": "",
    "/kit/{job:path}": "",
    "/strokes/{tag}": "/strokes/D-0201",
    "/written/{entry}": "/written/100",
}
"""An address of each view that needs more than its path; empty where the demo has none to show.

Those are looked at where the tests make what they show.
"""
NO_PAGES: tuple[str, ...] = ()
"""Views that answer with a picture or a file."""

LEAST_TOUCH_PX = 56
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def places() -> list[str]:
    """The address of every page that is looked at."""
    asked = [view.path for view in VIEWS if view.method == "GET" and view.path not in NO_PAGES]
    return [place for path in dict.fromkeys(asked) if (place := EXAMPLES.get(path, path))]


def faults_of(page: Page, axe: str) -> list[str]:
    """What axe-core finds wrong with a page: the rule, and the elements."""
    page.evaluate(axe)
    found: list[dict[str, Any]] = page.evaluate(
        "(rules) => axe.run(document, {runOnly: rules}).then((done) => done.violations)", RULES
    )
    return [
        f"{one['id']}: {one['help']}: {[node['html'] for node in one['nodes']][:3]}"
        for one in found
    ]


def small_targets(page: Page) -> list[str]:
    """What is to be touched and is smaller than a gloved finger; a link within a text is not."""
    found: list[str] = page.evaluate(
        """(least) => [...document.querySelectorAll(
          'button, .button, .tile, a.target, header a, select, textarea, summary, label.choice,'
          + 'input:not([type=hidden], [type=checkbox], [type=radio])')]
        .filter((one) => one.checkVisibility())
        .filter((one) => one.getBoundingClientRect().height < least - 0.5)
        .map((one) => one.outerHTML.slice(0, 100))""",
        LEAST_TOUCH_PX,
    )
    return found


def is_too_wide(page: Page) -> bool:
    """Whether a page can be pushed sideways."""
    answer: bool = page.evaluate(
        "document.documentElement.scrollWidth > document.documentElement.clientWidth"
    )
    return answer


@pytest.mark.parametrize("look", LOOKS, ids=str)
@pytest.mark.parametrize("place", places())
def test_everybody_can_use_the_page(
    request: pytest.FixtureRequest,
    browser: Browser,
    axe: str,
    place: str,
    look: tuple[int, bool, str, str],
) -> None:
    width, dark, crib, language = look
    address = request.getfixturevalue(crib)
    for page in opened(browser, width, dark=dark, language=language):
        page.goto(f"{address}{place}")
        if "/who?" in page.url:
            page.get_by_role("button", name="window", exact=True).click()
        assert faults_of(page, axe) == []
        assert small_targets(page) == []
        assert not is_too_wide(page)


def test_every_page_is_looked_at() -> None:
    paths = {view.path for view in VIEWS if view.method == "GET"}
    assert not EXAMPLES.keys() - paths
    assert all("{" not in place for place in places())
