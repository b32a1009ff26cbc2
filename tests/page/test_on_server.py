"""The page over a crib on a server: kept answers, lost connections, where its secret lies."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from crib.desk.book.rehouse import rehouse
from crib.desk.tables.by_name import keep_person
from crib.stock.engine.folders import beside
from crib.stock.engine.into_server import copy_into_server
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import ServerPlace
from tests.demo_crib import demo_crib
from tests.page.conftest import opened_page
from tests.stock.engine.server import TestServer

FIND = "/tool/answer?phrase=hole+13/16+thru+3/8+A36"


@pytest.fixture
def place(server: TestServer, tmp_path: Path) -> ServerPlace:
    made = server.new_database()
    with closing(demo_crib(tmp_path / "demo.crib")) as session:
        copy_into_server(session, made)
    return made


@pytest.fixture
def page(place: ServerPlace) -> Iterator[TestClient]:
    with opened_page(place) as client:
        yield client


def test_the_page_works_over_a_server(
    page: TestClient, place: ServerPlace, server: TestServer, tmp_path: Path
) -> None:
    """It shows at once what others write, lives through a cut, and says that the crib moved."""
    assert "P-0139" in page.get(FIND).text
    assert "new hand" not in page.get("/who").text
    with closing(open_crib(place)) as session:
        keep_person(session, {"name": "new hand", "role": ""}, by="")
    assert "new hand" in page.get("/who").text
    assert page.post("/who", data={"person": "new hand"}).status_code == 303
    secret = beside(place).with_name(f"{place.file_name}-page-secret")
    assert secret.stat().st_mode & 0o777 == 0o600
    server.run(
        f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{place.name}'"
    )
    assert "P-0139" in page.get(FIND).text
    assert page.post("/who", data={"person": "bench 2"}).status_code == 303
    rehouse(place, tmp_path / "new.crib")
    assert "P-0139" in page.get(FIND).text
    lent = page.post("/lend", data={"key": "k" * 32, "tags": "P-0141"})
    assert (lent.status_code, "and is only read here" in lent.text) == (503, True)
