"""How a tablet comes to trust the page, and a server whose certificate is due."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from starlette.testclient import TestClient

from crib.page.app import PageApp
from crib.page.guard import certificate
from crib.page.guard.certificate import fingerprint
from crib.page.serve import Serving, config_of, renew
from tests.page.conftest import ORIGIN


def test_a_stranger_gets_the_authoritys_certificate_and_no_key(crib: Path, tmp_path: Path) -> None:
    tls = Serving(tls_folder=tmp_path / "tls").tls()
    app = PageApp(crib, tls=tls).asgi()
    with TestClient(app, base_url=ORIGIN, client=("192.168.4.77", 1)) as stranger:
        assert tls is not None
        shown = fingerprint(tls.authority)
        assert shown.replace(":", " ") in stranger.get("/trust").text
        got = stranger.get("/trust/authority")
        assert got.headers["content-type"] == "application/x-x509-ca-cert"
        assert got.content == tls.authority.read_bytes()
        assert b"KEY" not in got.content


def test_without_a_certificate_there_is_none_to_trust(page: TestClient) -> None:
    assert "plain HTTP" in page.get("/trust").text
    assert page.get("/trust/authority").status_code == 404


def test_a_certificate_is_renewed_while_the_page_runs(
    crib: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    serving = Serving(tls_folder=tmp_path / "tls")
    monkeypatch.setattr(certificate, "CERTIFICATE_HOLDS", timedelta(days=20))
    config = config_of(crib, serving)
    config.load()
    tls = serving.tls()
    assert tls is not None
    monkeypatch.undo()
    renew(config, serving)
    kept = x509.load_pem_x509_certificate(tls.certificate.read_bytes())
    assert kept.not_valid_after_utc > datetime.now(UTC) + timedelta(days=300)
    renew(config, replace(serving, tls_folder=None))


@pytest.mark.parametrize(
    ("serving", "places"),
    [
        (Serving(), ("http://127.0.0.1:8321/",)),
        (Serving("::1", 80), ("http://[::1]:80/",)),
        (Serving(names=("crib.local",), tls_folder=Path("x")), ("https://crib.local:8321/",)),
    ],
)
def test_the_address_to_type_is_told_whole(serving: Serving, places: tuple[str, ...]) -> None:
    assert serving.places() == places


def test_on_every_address_the_machines_own_names_are_known() -> None:
    everywhere, here = Serving("0.0.0.0").hosts(), Serving().hosts()
    assert here < everywhere
    assert here == {"localhost", "127.0.0.1", "[::1]"}
    assert not any(place.startswith("http://0.0.0.0") for place in Serving("0.0.0.0").places())
