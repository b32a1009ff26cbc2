"""What every test gets: its own home, no crib or name from the shell, and patient properties."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from tests.stock.engine.server import TestServer

# Several suites may share a machine; a slow example is not a failing one.
settings.register_profile("shop", deadline=None, print_blob=True)
settings.load_profile("shop")


_homes = count(1)


@pytest.fixture(autouse=True)
def _own_home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep every test, and every program it starts, away from the user's own cribs."""
    home = tmp_path_factory.getbasetemp() / f"home-{next(_homes)}"
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.setenv("XDG_DATA_HOME", str(home / "data"))
    for name in ("CRIB", "CRIB_BY", "CRIB_DEBUG", "COLUMNS", "FORCE_COLOR"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture(scope="session")
def server() -> Iterator[TestServer]:
    """A database server of the tests' own; each takes a database of its own in it."""
    from tests.stock.engine.server import running_server

    with running_server() as started:
        yield started


@pytest.fixture(autouse=True)
def engine(request: pytest.FixtureRequest) -> Iterator[str]:
    """Where the cribs of a test lie, ``file`` or ``server``."""
    if getattr(request, "param", "file") == "file":
        yield "file"
        return
    from tests.on_engines import on_server

    with on_server(request.getfixturevalue("server")):
        yield "server"


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Run what is marked so on both engines."""
    if metafunc.definition.get_closest_marker("both_engines"):
        metafunc.parametrize("engine", ("file", "server"), indirect=True)
