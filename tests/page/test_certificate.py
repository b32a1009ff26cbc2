"""The page's certificate, as a client that trusts the shop's authority sees it."""

from __future__ import annotations

import ssl
import stat
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509

from crib.page.guard.certificate import (
    CERTIFICATE_HOLDS,
    RENEWED_BEFORE,
    _keep,
    _kept,
    _page,
    tls_files,
)
from crib.page.guard.tls_files import TlsFiles

HOSTS = ("localhost", "127.0.0.1", "[::1]", "192.168.4.20", "shop-pc", "shop-pc.local")
NOW = datetime.now(UTC)


def shaken(files: TlsFiles, host: str) -> None:
    """A handshake in memory, the client trusting the authority alone.

    Raises:
        ssl.SSLError: where the client does not take the certificate for this host.
    """
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(files.certificate, files.key)
    client = ssl.create_default_context(cafile=str(files.authority))
    up, down = ssl.MemoryBIO(), ssl.MemoryBIO()
    asks = client.wrap_bio(down, up, server_hostname=host)
    answers = server.wrap_bio(up, down, server_side=True)
    for _turn in range(4):
        with suppress(ssl.SSLWantReadError):
            asks.do_handshake()
        with suppress(ssl.SSLWantReadError):
            answers.do_handshake()
    assert asks.getpeercert()


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1", "::1", "192.168.4.20", "shop-pc.local"])
def test_a_client_that_trusts_the_authority_takes_the_page(tmp_path: Path, host: str) -> None:
    shaken(tls_files(tmp_path / "tls", HOSTS), host)


def test_it_is_taken_under_no_other_name(tmp_path: Path) -> None:
    with pytest.raises(ssl.SSLCertVerificationError, match="not valid for"):
        shaken(tls_files(tmp_path / "tls", HOSTS), "192.168.4.21")


@pytest.mark.parametrize("host", ["bank.example", "203.0.113.9"])
def test_a_stolen_authority_can_vouch_for_no_other_site(tmp_path: Path, host: str) -> None:
    files = tls_files(tmp_path / "tls", HOSTS)
    authority = _kept(files.authority, tmp_path / "tls" / "authority.key")
    assert authority is not None
    _keep(_page(authority, [host], NOW), files.certificate, files.key)
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"):
        shaken(files, host)


def test_the_files_are_their_owners_alone_and_the_authority_is_held(tmp_path: Path) -> None:
    files = tls_files(tmp_path / "tls", HOSTS)
    for file in (tmp_path / "tls").iterdir():
        assert stat.S_IMODE(file.stat().st_mode) == 0o600, file.name
    found = x509.load_pem_x509_certificate(files.authority.read_bytes())
    held = found.extensions.get_extension_for_class(x509.NameConstraints)
    assert held.critical
    basic = found.extensions.get_extension_for_class(x509.BasicConstraints)
    assert (basic.value.ca, basic.value.path_length, basic.critical) == (True, 0, True)


@pytest.mark.parametrize(
    ("after", "is_new"),
    [
        (timedelta(days=1), False),
        (CERTIFICATE_HOLDS - RENEWED_BEFORE - timedelta(days=1), False),
        (CERTIFICATE_HOLDS - RENEWED_BEFORE + timedelta(days=1), True),
    ],
)
def test_it_is_renewed_before_it_ends_and_tablets_go_on_trusting(
    tmp_path: Path, after: timedelta, is_new: bool
) -> None:
    files = tls_files(tmp_path / "tls", HOSTS, NOW)
    page, authority = files.certificate.read_bytes(), files.authority.read_bytes()
    tls_files(tmp_path / "tls", HOSTS, NOW + after)
    assert (files.certificate.read_bytes() != page) == is_new
    assert files.authority.read_bytes() == authority


def test_another_address_gets_another_certificate_of_the_same_authority(tmp_path: Path) -> None:
    files = tls_files(tmp_path / "tls", HOSTS, NOW)
    authority = files.authority.read_bytes()
    tls_files(tmp_path / "tls", (*HOSTS, "192.168.4.99"), NOW)
    shaken(files, "192.168.4.99")
    assert files.authority.read_bytes() == authority


def test_what_cannot_be_read_is_made_anew(tmp_path: Path) -> None:
    files = tls_files(tmp_path / "tls", HOSTS, NOW)
    files.key.write_text("torn")
    shaken(tls_files(tmp_path / "tls", HOSTS, NOW), "localhost")
