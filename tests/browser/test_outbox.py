"""Strokes sent from a browser over a bad network: kept, sent in order, counted once, answered.

Each is tried with a worker, as over HTTPS or on this machine, and without, as over plain HTTP.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, Route, expect

from crib.stock.engine.opening import open_crib
from tests.browser.serving import free_port, served
from tests.demo_crib import demo_crib

MACHINE = "/strokes?machine=Ironworker%201%20%28north%20bay%29"
PLAIN = "delete Navigator.prototype.locks; delete Navigator.prototype.serviceWorker"
ONLINE = "dispatchEvent(new Event('online'))"
MOST_LOOKS = 100
UNLIKE = count(11)
"""Counts no two alike, so that none looks typed already."""


@dataclass
class Tablet:
    """A browser that is paired, with somebody at it, and what the crib has of it."""

    context: BrowserContext
    address: str
    crib: Path
    page: Page = field(init=False)

    def __post_init__(self) -> None:
        self.page = self.context.new_page()
        self.page.goto(f"{self.address}/who?then=/")
        self.page.get_by_role("button", name="lead hand", exact=True).click()
        self._before = self._kept()

    def _kept(self) -> int:
        with closing(open_crib(self.crib)) as session:
            return int(session.value("SELECT count(*) FROM kept_key"))

    def counted(self) -> int:
        """How many posts the crib did since the tablet was opened."""
        return self._kept() - self._before

    def fill(self, strokes: int | str | None = None) -> Locator:
        """Open the cards and say one count; the button that sends it."""
        self.page.goto(f"{self.address}{MACHINE}")
        said = str(next(UNLIKE) if strokes is None else strokes)
        self.page.locator("input[name^=count-]").first.fill(said)
        return self.button("Count all of these")

    def button(self, name: str) -> Locator:
        return self.page.get_by_role("button", name=name)

    def told(self, words: str) -> None:
        expect(self.page.locator(".told")).to_contain_text(words)

    def asked(self) -> None:
        expect(self.page.get_by_role("heading", name="Is that right?")).to_be_visible()

    def unsent(self, posts: int) -> None:
        self.page.wait_for_load_state("networkidle")
        for _while in range(MOST_LOOKS):
            if self.page.evaluate("outbox.all().then((posts) => posts.length)") == posts:
                break
            self.page.wait_for_timeout(100)
        strip = self.page.locator(".unsent")
        if posts:
            expect(strip).to_contain_text(f"{posts} not sent yet")
        else:
            expect(strip).to_be_hidden()

    def away(self, is_away: bool) -> None:
        self.context.set_offline(is_away)
        if not is_away:
            self.page.evaluate(ONLINE)


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Path]]:
    """A demo crib to write in, served."""
    crib = tmp_path_factory.mktemp("outbox") / "demo.crib"
    demo_crib(crib).close()
    with served(crib) as address:
        yield address, crib


@pytest.fixture(params=["worker", "plain"])
def tablet(
    request: pytest.FixtureRequest, browser: Browser, place: tuple[str, Path]
) -> Iterator[Tablet]:
    is_plain = request.param == "plain"
    context = browser.new_context(
        viewport={"width": 390, "height": 844},
        service_workers="block" if is_plain else "allow",
        locale="en",
    )
    if is_plain:
        context.add_init_script(PLAIN)
    yield Tablet(context, *place)
    context.close()


def losing(times: int) -> Callable[[Route], None]:
    """Lets a post through and loses its answer, so many times."""
    left = [times]

    def lose(route: Route) -> None:
        if route.request.method == "POST" and left[0]:
            left[0] -= 1
            route.fetch()
            route.abort()
        else:
            route.continue_()

    return lose


def test_a_double_tap_is_one_entry(tablet: Tablet) -> None:
    tablet.fill().dblclick()
    tablet.told("1 card")
    assert tablet.counted() == 1


def test_what_was_pressed_without_network_is_sent_when_it_is_back(tablet: Tablet) -> None:
    button = tablet.fill()
    tablet.away(True)
    button.click()
    tablet.told("No network: it is kept here")
    tablet.unsent(1)
    assert tablet.counted() == 0
    tablet.away(False)
    tablet.unsent(0)
    assert tablet.counted() == 1


def test_an_answer_lost_three_times_is_one_entry(tablet: Tablet) -> None:
    button = tablet.fill()
    tablet.page.route("**/strokes", losing(3))
    button.click()
    tablet.told("No network")
    for _again in range(3):
        tablet.page.evaluate(ONLINE)
        tablet.page.wait_for_timeout(300)
    tablet.unsent(0)
    assert tablet.counted() == 1


def test_a_page_that_was_closed_sends_what_waits_when_any_opens(tablet: Tablet) -> None:
    button = tablet.fill()
    tablet.away(True)
    button.click()
    tablet.told("No network")
    tablet.page.close()
    tablet.context.set_offline(False)
    tablet.page = tablet.context.new_page()
    tablet.page.goto(f"{tablet.address}/jobs")
    tablet.page.wait_for_load_state("networkidle")
    tablet.unsent(0)
    assert tablet.counted() == 1


def test_a_question_comes_back_with_its_answer_now_and_later(tablet: Tablet) -> None:
    tablet.fill(9_000 + next(UNLIKE)).click()
    tablet.asked()
    tablet.unsent(1)
    assert tablet.counted() == 0
    tablet.button("Yes, it is right").click()
    tablet.told("Counted for")
    tablet.unsent(0)
    button = tablet.fill(9_000 + next(UNLIKE))
    tablet.away(True)
    button.click()
    tablet.told("No network")
    tablet.context.set_offline(False)
    tablet.page.goto(f"{tablet.address}/")
    tablet.button("Look at it").click()
    tablet.asked()
    tablet.button("Yes, it is right").click()
    tablet.told("Counted for")
    tablet.unsent(0)
    assert tablet.counted() == 2


def test_what_was_asked_can_be_thrown_away(tablet: Tablet) -> None:
    tablet.fill(9_000 + next(UNLIKE)).click()
    tablet.asked()
    tablet.button("Throw it away").click()
    expect(tablet.page).to_have_url(f"{tablet.address}/")
    tablet.unsent(0)
    assert tablet.counted() == 0


def test_a_wrong_card_is_put_right_and_counts_once(tablet: Tablet) -> None:
    tablet.fill("4o").click()
    expect(tablet.page.get_by_role("alert")).to_contain_text("expected a count")
    # The draft is put back when all is loaded; nobody types before that.
    tablet.page.wait_for_load_state("load")
    tablet.page.locator("input[name^=count-]").first.fill(str(next(UNLIKE)))
    tablet.button("Count all of these").click()
    tablet.told("Counted for")
    tablet.unsent(0)
    assert tablet.counted() == 1


def test_while_nobody_is_known_a_post_waits_and_says_so(tablet: Tablet) -> None:
    button = tablet.fill()
    tablet.page.evaluate("document.querySelector('[name=voucher]').value = ''")
    other = tablet.context.new_page()
    other.goto(f"{tablet.address}/who?then=/")
    body = "{method: 'POST', body: new URLSearchParams({person: ''})}"
    other.evaluate(f"fetch('/who', {body}).then((reply) => reply.text())")
    other.wait_for_load_state("networkidle")
    other.close()
    button.click()
    tablet.unsent(1)
    tablet.page.get_by_role("link", name="Look at it").click()
    tablet.page.get_by_role("button", name="nights", exact=True).click()
    tablet.unsent(0)
    assert tablet.counted() == 1


def test_what_is_typed_stays_when_the_page_is_closed_until_it_is_sent(tablet: Tablet) -> None:
    first = str(next(UNLIKE))
    tablet.fill(first)
    tablet.page.close()
    tablet.page = tablet.context.new_page()
    tablet.page.goto(f"{tablet.address}{MACHINE}")
    field = tablet.page.locator("input[name^=count-]").first
    expect(field).to_have_value(first)
    expect(tablet.page.locator("input[name^=none-]").first).not_to_be_checked()
    tablet.page.locator("[data-step]").nth(1).click()
    expect(field).not_to_have_value(first)
    tablet.button("Count all of these").click()
    tablet.told("Counted for")
    tablet.page.goto(f"{tablet.address}{MACHINE}")
    expect(tablet.page.locator("input[name^=none-]").first).to_be_checked()


def test_two_tabs_send_what_waits_once(tablet: Tablet) -> None:
    button = tablet.fill()
    other = tablet.context.new_page()
    other.goto(f"{tablet.address}/jobs")
    tablet.away(True)
    button.click()
    tablet.told("No network")
    tablet.context.set_offline(False)
    for page in (other, tablet.page):
        page.evaluate(ONLINE)
    tablet.unsent(0)
    assert tablet.counted() == 1


@pytest.mark.parametrize("tablet", ["worker"], indirect=True)
def test_the_cards_open_without_network_and_each_use_of_a_page_is_its_own(tablet: Tablet) -> None:
    for seen in ("/", "/", "/strokes"):
        tablet.page.goto(f"{tablet.address}{seen}")
        tablet.page.wait_for_load_state("networkidle")
    tablet.context.set_offline(True)
    for posts in (1, 2):
        tablet.fill().click()
        tablet.unsent(posts)
    expect(tablet.page.get_by_text(re.compile("No network. This is from"))).to_be_visible()
    tablet.page.goto(f"{tablet.address}/jobs")
    expect(tablet.page.get_by_role("heading", name="What is it about?")).to_be_visible()
    tablet.away(False)
    tablet.unsent(0)
    assert tablet.counted() == 2


def test_a_server_that_was_away_gets_it_when_it_is_back(browser: Browser, tmp_path: Path) -> None:
    crib, port = tmp_path / "demo.crib", free_port()
    demo_crib(crib).close()
    context = browser.new_context()
    with served(crib, port=port) as address:
        tablet = Tablet(context, address, crib)
        button = tablet.fill()
    button.click()
    tablet.told("No network")
    with served(crib, port=port):
        tablet.page.evaluate(ONLINE)
        tablet.unsent(0)
    assert tablet.counted() == 1
    context.close()
