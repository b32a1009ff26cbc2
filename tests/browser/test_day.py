"""A day at the window by touch: what people come for, from the front page to the crib's records."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, ViewportSize, expect

from crib.stock.book.label_codes import written_code
from crib.stock.engine.opening import open_crib
from tests.browser.serving import served
from tests.browser.test_looks import nothing_amiss
from tests.demo_crib import demo_crib
from tests.desk.kitting import held, strokes
from tests.desk.planned import plan_job, run
from tests.page.label_photos import Shot, photo_of

JOB = "24/118"
PUNCH, DIE, TURRET = "P-0211", "D-0409", "Ironworker 2 (south bay) / turret 3"
MOUNTED = {True: "P-0139", False: "P-0180"}
"""Punches that stand at machines, one to break at each phone."""
MOST_TAPS_TO_A_DRAWER = 5
PHONE = ViewportSize(width=390, height=844)
DESK = ViewportSize(width=1280, height=900)
LONGEST_WAIT_MS = 6_000


@dataclass
class Hand:
    """A phone in somebody's hand: it only taps, and counts its taps."""

    page: Page
    address: str
    taps: int = 0

    def front(self) -> None:
        self.page.goto(self.address)

    def tap(self, target: Locator) -> None:
        self.taps += 1
        with self.page.expect_navigation():
            target.tap()

    def link(self, name: str) -> None:
        self.tap(self.page.get_by_role("link", name=name, exact=True))

    def button(self, name: str) -> None:
        self.tap(self.page.get_by_role("button", name=name, exact=True))

    def says_who(self) -> None:
        """Touch the name, where it is not known yet."""
        if "/who?" in self.page.url:
            self.button("apprentice")

    def told(self, words: str) -> None:
        expect(self.page.locator(".told").first).to_contain_text(words)


@dataclass
class Bench(Hand):
    """A phone at a crib to write in."""

    crib: Path = Path()
    is_scripted: bool = True

    def value(self, sql: str, *values: object) -> object:
        """What the crib's own records say."""
        with closing(open_crib(self.crib)) as session:
            return session.value(sql, values)

    def entries(self) -> object:
        return self.value("SELECT count(*) FROM entry")

    def posts(self) -> int:
        """How many posts of a page the crib did."""
        return int(str(self.value("SELECT count(*) FROM kept_key")))

    def place_of(self, tag: str) -> object:
        return self.value(
            "SELECT place.name FROM piece JOIN place ON place.id = piece.place_id WHERE tag = ?",
            tag,
        )

    def strokes_of(self) -> dict[str, int]:
        with closing(open_crib(self.crib)) as session:
            return strokes(session)

    def held(self) -> dict[str, str]:
        with closing(open_crib(self.crib)) as session:
            return held(session)


@pytest.fixture(scope="module")
def writable(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Path]]:
    """A demo crib with one more job, planned, served to be written in."""
    crib = tmp_path_factory.mktemp("day") / "demo.crib"
    with closing(demo_crib(crib)) as session:
        phrase = "hole 2 thru 3/8 A36"
        plan_job(session, JOB, run(session, PUNCH, 40, die=DIE, station=TURRET, phrase=phrase))
    with served(crib) as address:
        yield address, crib


@pytest.fixture(params=[True, False], ids=["script", "no script"])
def bench(
    request: pytest.FixtureRequest, browser: Browser, writable: tuple[str, Path]
) -> Iterator[Bench]:
    """A phone at it, with its script and where scripts are off."""
    address, crib = writable
    context = browser.new_context(
        viewport=PHONE, has_touch=True, locale="en", java_script_enabled=request.param
    )
    context.set_default_timeout(LONGEST_WAIT_MS)
    hand = Bench(context.new_page(), address, crib=crib, is_scripted=request.param)
    hand.front()
    yield hand
    context.close()


scripted = pytest.mark.parametrize("bench", [True], indirect=True, ids=["script"])


def test_an_apprentice_taps_from_the_front_page_to_the_drawer(bench: Bench) -> None:
    before = bench.entries()
    bench.link("Which tool?")
    bench.link("Round hole")
    bench.link("2 in")
    bench.link("3/8 in")
    bench.button("A36")
    assert bench.taps <= MOST_TAPS_TO_A_DRAWER
    drawers = bench.page.locator(".drawer").all_inner_texts()
    assert drawers == [bench.place_of(PUNCH), bench.place_of(DIE)]
    assert bench.page.locator(".pair a.tag").all_inner_texts() == [PUNCH, DIE]
    assert bench.entries() == before


def test_what_is_typed_is_found_as_what_is_tapped(bench: Bench) -> None:
    bench.link("Which tool?")
    bench.page.get_by_label("Say it in words").fill("hole 2 thru 3/8 A36")
    bench.button("Find it")
    assert bench.page.locator(".pair a.tag").all_inner_texts() == [PUNCH, DIE]


def test_the_address_of_an_answer_shows_it_to_a_colleague(
    browser: Browser, writable: tuple[str, Path]
) -> None:
    seen = []
    address = f"{writable[0]}/tool/answer?phrase=hole+2+thru+3/8+A36"
    for viewport in (PHONE, DESK):
        context = browser.new_context(viewport=viewport, locale="en")
        page = context.new_page()
        page.goto(address)
        address = page.url
        seen.append(page.locator("main").inner_text())
        context.close()
    assert seen[0] == seen[1]
    assert PUNCH in seen[0]


def test_a_shift_is_logged_on_cards_and_a_double_tap_is_one_entry(bench: Bench) -> None:
    before, posts = bench.strokes_of(), bench.posts()
    count = 47 if bench.is_scripted else 53
    bench.link("Strokes")
    bench.says_who()
    bench.link("Ironworker 1 (north bay)")
    first, *others = bench.page.locator("fieldset.card").all()
    first.locator("input[name^=count-]").fill(str(count))
    first.get_by_label("none").uncheck()
    for card in others:
        card.get_by_label("none").check()
    tags = first.locator("legend").inner_text().replace("+", " ").split()
    bench.page.get_by_role("button", name="Count all of these").dblclick()
    bench.told(f"1 card, {count} strokes")
    assert bench.strokes_of() == before | {tag: before.get(tag, 0) + count for tag in tags}
    assert bench.posts() == posts + 1


def test_a_break_leads_to_the_pair_that_replaces_it(bench: Bench, axe: str) -> None:
    bench.link("Broke or lost")
    tag = MOUNTED[bench.is_scripted]
    bench.tap(bench.page.locator("a.tile", has_text=tag))
    bench.says_who()
    bench.tap(bench.page.get_by_role("button", name="Snapped"))
    bench.told(f"{tag} is out of every answer")
    assert bench.value("SELECT condition FROM piece WHERE tag = ?", tag) == "broken"
    pieces = bench.page.locator(".pair section")
    shown = {
        piece.locator("a").inner_text(): piece.locator(".drawer").inner_text()
        for piece in pieces.all()
    }
    assert shown
    assert tag not in shown
    assert shown == {one: bench.place_of(one) for one in shown}
    if bench.is_scripted:
        nothing_amiss(bench.page, axe)


def test_a_drawer_is_counted_by_touch(bench: Bench) -> None:
    drawer = "K3" if bench.value("SELECT count(*) FROM piece WHERE condition = 'lost'") else "K4"
    bench.link("Count a drawer")
    bench.link(drawer)
    ticks = bench.page.locator("label.choice")
    tags = [one.locator(".tag").inner_text() for one in ticks.all()]
    for tick in ticks.all()[1:]:
        tick.tap()
    bench.button("That is all of it")
    bench.link("Settle the difference")
    bench.says_who()
    bench.button("Settle the difference")
    lost = bench.value("SELECT condition FROM piece WHERE tag = ?", tags[0])
    assert lost == "lost"


@scripted
def test_a_kit_goes_out_and_comes_back_with_its_strokes(bench: Bench, axe: str) -> None:
    before = bench.strokes_of()
    bench.link("Who are you?")
    bench.says_who()
    bench.link("Today's jobs")
    bench.link(JOB)
    bench.link("Its kit")
    bench.button("Hand it out")
    bench.told("2 pieces are handed out")
    nothing_amiss(bench.page, axe)
    assert bench.held() == {PUNCH: f"{JOB} out", DIE: f"{JOB} out"}
    bench.button("It is all back")
    bench.told("2 pieces are back")
    assert bench.held() == {}
    after = bench.strokes_of()
    assert {tag: after[tag] - before.get(tag, 0) for tag in (PUNCH, DIE)} == {PUNCH: 40, DIE: 40}


def test_a_photo_of_a_label_opens_its_tool(bench: Bench) -> None:
    code = written_code("https://tool-crib.local:8321", "piece", PUNCH)
    bench.link("By photo")
    photo = photo_of(code, Shot(turned=12, blurred=1))
    bench.page.locator("input[type=file]").set_input_files(
        {"name": "label.jpg", "mimeType": "image/jpeg", "buffer": photo}
    )
    bench.button("Read the photo")
    expect(bench.page).to_have_url(f"{bench.address}/piece/{PUNCH}")
    expect(bench.page.locator("main")).to_contain_text(str(bench.place_of(PUNCH)))
