"""The page over a demo crib, without a server between."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from crib.page.app import PageApp
from crib.stock.engine.place import Place
from tests.demo_crib import demo_crib

ORIGIN = "http://localhost"
OWN = ("127.0.0.1", 50_000)


def opened_page(crib: Place) -> TestClient:
    """A browser on the crib's own machine, sent nowhere by itself."""
    asgi = PageApp(crib).asgi()
    headers = {"origin": ORIGIN, "accept-language": "en"}
    return TestClient(asgi, base_url=ORIGIN, headers=headers, client=OWN, follow_redirects=False)


@pytest.fixture
def crib(tmp_path: Path) -> Path:
    """The inch demo crib."""
    path = tmp_path / "demo.crib"
    demo_crib(path).close()
    return path


@pytest.fixture
def page(crib: Path) -> Iterator[TestClient]:
    """The page over it."""
    with opened_page(crib) as client:
        yield client


@pytest.fixture
def metric_page(tmp_path: Path) -> Iterator[TestClient]:
    """The page over the metric demo crib."""
    path = tmp_path / "metric.crib"
    demo_crib(path, metric=True).close()
    with opened_page(path) as client:
        yield client
