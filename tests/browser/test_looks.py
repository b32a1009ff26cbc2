"""Every page in both cribs: reachable by everybody, no wider than the screen, big enough to touch.

The rules are those of WCAG 2.2, levels A and AA, as axe-core checks them.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from string import Formatter
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from crib.desk.shelf.send import send_pieces
from crib.page.app import VIEWS
from crib.stock.book.sites import stand_at
from tests.browser.conftest import Shop, opened
from tests.browser.serving import served
from tests.company import small_company

LOOKS = ((320, False, "inch", "en"), (768, True, "metric", "de"), (1280, False, "inch", "de"))
"""Widths, dark or light, crib and language: each page once in each."""

BY_AXE = (320, 768)
"""Where axe looks: a page has the same elements at every width, and the two are light and dark."""

EXAMPLES: dict[str, tuple[str, ...]] = {
    "/pair": ("/pair", "/pair?code=12345678"),
    "/who/pin": ("/who/pin?person=window&then=/jobs",),
    "/tool": (
        "/tool",
        "/tool?shape=hole",
        "/tool?shape=slot&width=13/16",
        "/tool?shape=hole&width=13/16&thickness=3/8",
        "/tool?shape=hole&typed=banana&press=go",
    ),
    "/tool/answer": (
        "/tool/answer?phrase=hole+13/16+thru+3/8+A36&quantity=30",
        "/tool/answer?phrase=hole+22mm+thru+12mm+S355",
        "/tool/answer?phrase=hexagon+3/8+thru+1/4+A36&quantity=40",
        "/tool/answer?phrase=hole+5+thru+2+A36",
        "/tool/answer?phrase=bolt+3/4+thru+1/2+A36",
        "/tool/answer?phrase=bend+10+x+1/4+at+90",
        "/tool/answer?phrase=hole+thru",
        "/tool/answer?phrase=hole+13/16+thru+3/8+A63",
    ),
    "/tool/why": (
        "/tool/why?phrase=hole+13/16+thru+3/8+A36",
        "/tool/why?phrase=hole+5+thru+2+A36",
    ),
    "/friday": ("/friday", "/friday?budget=500&page=2", "/friday?budget=banana"),
    "/friday/order": ("/friday/order?line={line}", "/friday/order"),
    "/friday/line": ("/friday/line?name={line}",),
    "/friday/orders/{order}": ("/friday/orders/{order}",),
    "/jobs/{job:path}": ("/jobs/{job}", "/jobs/none"),
    "/jobs/{job:path}/set-up": ("/jobs/{job}/set-up",),
    "/kit/{job:path}": ("/kit/{job}", "/kit/{out}"),
    "/strokes": ("/strokes", "/strokes?job={job}", "/strokes?machine={machine}"),
    "/strokes/{tag}": ("/strokes/P-0110", "/strokes/D-0201"),
    "/written/{entry}": ("/written/{entry}", "/written/100"),
    "/piece/{tag:path}": ("/piece/P-0110", "/piece/D-0201", "/piece/none"),
    "/piece/{tag:path}/turn": ("/piece/B-0601/turn",),
    "/piece/{tag:path}/measure": ("/piece/P-0110/measure",),
    "/piece/{tag:path}/look": ("/piece/P-0110/look",),
    "/grinding/{tag:path}": ("/grinding/P-0110",),
    "/broke/{tag:path}": ("/broke/P-0110",),
    "/scan": ("/scan", "/scan?code=P-011"),
    "/drawer/{drawer:path}": ("/drawer/K3",),
    "/count/{drawer:path}": (
        "/count/K3",
        "/count/K3?there=P-0121&there=banana",
        "/count/K3?there=P-0121&also=D-0201&check=yes",
    ),
}
"""Addresses of each view that has more to show than its path, with what the cribs call things."""

NO_PAGES = (
    *("/openapi.json", "/trust/authority", "/tool/drawing", "/friday/curve"),
    *("/jobs/{job:path}/set-up.pdf", "/piece/{tag:path}/chart.svg"),
    "/piece/{tag:path}/life.svg",
)
"""Views that answer with a picture or a file."""

AFTER_A_POST = ("/broke/{tag:path}/next",)
"""Pages that tell of what was just done; they are looked at where it is done."""

LEAST_TOUCH_PX = 56
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def places() -> list[str]:
    """The address of every page that is looked at."""
    passed = (*NO_PAGES, *AFTER_A_POST)
    paths = dict.fromkeys(view.path for view in VIEWS if view.method == "GET")
    shown = [EXAMPLES.get(path, (path,)) for path in paths if path not in passed]
    return [place for several in shown for place in several]


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


@dataclass
class Look:
    """A tab of one look, in one crib."""

    page: Page
    shop: Shop
    said: list[str]
    width: int


@pytest.fixture(scope="module", params=LOOKS, ids=str)
def look(request: pytest.FixtureRequest, browser: Browser) -> Iterator[Look]:
    width, dark, crib, language = request.param
    shop: Shop = request.getfixturevalue(crib)
    for page, said in opened(browser, width, dark=dark, language=language):
        yield Look(page, shop, said, width)


def nothing_amiss(page: Page, axe: str) -> None:
    """Everybody can use the page that is shown, and see all of it."""
    assert not axe or faults_of(page, axe) == []
    assert small_targets(page) == []
    assert not is_too_wide(page)


@pytest.mark.parametrize("place", places())
def test_everybody_can_use_the_page(look: Look, axe: str, place: str) -> None:
    page = look.page
    reply = page.goto(f"{look.shop.address}{place.format(**look.shop.names)}")
    if "/who?" in page.url:
        page.get_by_role("button", name="window", exact=True).click()
    nothing_amiss(page, axe if look.width in BY_AXE else "")
    said = look.said.copy()
    look.said.clear()
    assert reply is not None
    # That a page itself says no is told by the browser too, in one line.
    assert said == [] if reply.ok else len(said) == 1


def test_everybody_can_use_the_page_of_what_is_between_sites(
    browser: Browser, axe: str, tmp_path: Path
) -> None:
    crib = tmp_path / "company.crib"
    with closing(small_company(crib)) as session:
        send_pieces(session, ["P-0137", "D-0201"], "South")
        stand_at(session, 2)
        send_pieces(session, ["P-0501"], "North")
    with served(crib) as address:
        for language, dark in (("en", False), ("de", True)):
            for page, _said in opened(browser, 390, dark=dark, language=language):
                page.goto(f"{address}/ways")
                assert page.get_by_role("checkbox").count() == 1
                assert page.get_by_role("link", name="P-0137").count() == 1
                nothing_amiss(page, axe)


def test_every_page_is_looked_at() -> None:
    paths = {view.path for view in VIEWS if view.method == "GET"}
    assert not {*EXAMPLES, *NO_PAGES, *AFTER_A_POST} - paths
    names = {"job", "out", "order", "line", "entry", "machine"}
    asked = {name for place in places() for _text, name, _spec, _how in Formatter().parse(place)}
    assert asked <= names | {None}
