"""A browser, and both demo cribs served.

Without a browser these tests are skipped with a word; where ``CRIB_BROWSER`` is ``must``, as on the
machine that proves a change, they fail instead.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.furnished import furnished_crib
from tests.browser.serving import served
from tests.demo_crib import demo_crib

# Nothing of the browser's own looks for other machines.
QUIET = (
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
)


def _missing(what: str, way_out: str) -> None:
    text = f"no {what}: {way_out}"
    if os.environ.get("CRIB_BROWSER") == "must":
        pytest.fail(text)
    pytest.skip(text)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium without a screen."""
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if program is None:
        _missing("browser", "install Debian's package chromium")
    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=program, args=list(QUIET))
        yield opened
        opened.close()


@pytest.fixture(scope="session")
def axe() -> str:
    """The accessibility rules, as a script."""
    place = os.environ.get("CRIB_AXE", "")
    found = Path(place or Path(__file__).parent / "node_modules/axe-core/axe.min.js")
    if not found.is_file():
        _missing("axe-core", "npm install in tests/browser, or name axe.min.js in CRIB_AXE")
    return found.read_text("utf-8")


@dataclass(frozen=True)
class Shop:
    """A crib that is served to be looked at: its address, and what its things are called."""

    address: str
    names: dict[str, str]


@contextmanager
def _furnished(crib: Path, name: str) -> Iterator[Shop]:
    names = furnished_crib(crib, name)
    with served(crib) as address:
        yield Shop(address, names)


@pytest.fixture(scope="session")
def inch(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """The inch demo crib, served to be looked at."""
    with _furnished(tmp_path_factory.mktemp("inch") / "demo.crib", "inch") as shop:
        yield shop


@pytest.fixture(scope="session")
def metric(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """The metric demo crib, served to be looked at."""
    with _furnished(tmp_path_factory.mktemp("metric") / "demo.crib", "metric") as shop:
        yield shop


@pytest.fixture
def own_crib(tmp_path: Path) -> Iterator[tuple[str, Path]]:
    """An inch demo crib of one test's own, to write in: its address and its file."""
    crib = tmp_path / "demo.crib"
    demo_crib(crib).close()
    with served(crib) as address:
        yield address, crib


def opened(
    browser: Browser, width: int, *, dark: bool = False, language: str = "en"
) -> Iterator[tuple[Page, list[str]]]:
    """A tab of a width, and what its console and policy said; it must be silent at the end."""
    context = browser.new_context(
        viewport={"width": width, "height": 900},
        color_scheme="dark" if dark else "light",
        locale=language,
        has_touch=True,
        service_workers="allow",
    )
    page = context.new_page()
    said: list[str] = []
    page.on(
        "console", lambda message: said.append(message.text) if message.type == "error" else None
    )
    page.on("pageerror", lambda error: said.append(str(error)))
    yield page, said
    context.close()
    assert said == []


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    """A narrow tab."""
    for page, _said in opened(browser, 390):
        yield page
