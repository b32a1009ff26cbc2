"""What every test gets: its own home, no crib or name from the shell, and patient properties."""

from __future__ import annotations

from itertools import count

import pytest
from hypothesis import settings

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
