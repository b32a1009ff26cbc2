"""The page's certificate, from an authority of the shop's own that can vouch for nothing else.

The authority's name constraints (RFC 5280, 4.2.1.10) hold it to names of the own network: private
addresses, ``.local``, ``localhost`` and what the machine is called. Who steals its key cannot stand
in for any other site at a tablet that trusts it.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address, ip_network
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from crib.page.guard.tls_files import TlsFiles

AUTHORITY_HOLDS = timedelta(days=3650)
CERTIFICATE_HOLDS = timedelta(days=397)
"""Browsers take no certificate of a server for longer than 398 days (*from memory*)."""
RENEWED_BEFORE = timedelta(days=30)
_CLOCKS_DIFFER = timedelta(days=1)
_OWN_NETWORKS = (
    *("127.0.0.0/8", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16"),
    *("::1/128", "fc00::/7", "fe80::/10"),
)
_OWN_NAMES = ("localhost", "local")


@dataclass(frozen=True)
class KeyPair:
    """A key and its certificate."""

    key: ec.EllipticCurvePrivateKey
    certificate: x509.Certificate


def tls_files(folder: Path, hosts: Iterable[str], now: datetime | None = None) -> TlsFiles:
    """A certificate for the hosts that holds for a month at least; made where there is none such.

    Raises:
        OSError: where the folder cannot be written.
    """
    moment, wanted = now or datetime.now(UTC), sorted({host.strip("[]") for host in hosts})
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    files = TlsFiles(folder / "page.pem", folder / "page.key", folder / "authority.pem")
    authority = _kept(files.authority, folder / "authority.key")
    if authority is None or _ends_soon(authority, moment) or not _permits(authority, wanted):
        authority = _authority(wanted, moment)
        _keep(authority, files.authority, folder / "authority.key")
    page = _kept(files.certificate, files.key)
    if page is None or not _fits(page, authority, wanted, moment):
        _keep(_page(authority, wanted, moment), files.certificate, files.key)
    return files


def fingerprint(authority: Path) -> str:
    """The SHA-256 of a certificate, as a tablet shows it when it is asked to trust it."""
    found = x509.load_pem_x509_certificate(authority.read_bytes())
    return found.fingerprint(hashes.SHA256()).hex(":").upper()


def _authority(hosts: list[str], now: datetime) -> KeyPair:
    key = ec.generate_private_key(ec.SECP256R1())
    name = _name("Authority of this tool crib")
    usage = _usage(key_cert_sign=True, crl_sign=True)
    made = (
        _begun(name, name, key, now, AUTHORITY_HOLDS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.NameConstraints(_permitted(hosts), None), critical=True)
    )
    return KeyPair(key, made.sign(key, hashes.SHA256()))


def _page(authority: KeyPair, hosts: list[str], now: datetime) -> KeyPair:
    key = ec.generate_private_key(ec.SECP256R1())
    issuer = x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key())
    serves = x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH])
    made = (
        _begun(_name("Tool crib"), authority.certificate.subject, key, now, CERTIFICATE_HOLDS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(digital_signature=True), critical=True)
        .add_extension(serves, critical=False)
        .add_extension(issuer, critical=False)
        .add_extension(x509.SubjectAlternativeName(map(_host, hosts)), critical=False)
    )
    return KeyPair(key, made.sign(authority.key, hashes.SHA256()))


def _begun(
    subject: x509.Name,
    issuer: x509.Name,
    key: ec.EllipticCurvePrivateKey,
    now: datetime,
    holds: timedelta,
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _CLOCKS_DIFFER)
        .not_valid_after(now + holds)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def _permitted(hosts: list[str]) -> list[x509.GeneralName]:
    """The own network, and each host that lies outside of it by itself."""
    networks = [ip_network(one) for one in _OWN_NETWORKS]
    named: dict[str, None] = dict.fromkeys(_OWN_NAMES)
    for host in hosts:
        try:
            address = ip_address(host)
        except ValueError:
            named[host] = None
        else:
            if not any(address in network for network in networks):
                networks.append(ip_network(host))
    return [*map(x509.DNSName, named), *map(x509.IPAddress, networks)]


def _permits(authority: KeyPair, hosts: list[str]) -> bool:
    found = authority.certificate.extensions.get_extension_for_class(x509.NameConstraints)
    return set(_permitted(hosts)) <= set(found.value.permitted_subtrees or ())


def _fits(page: KeyPair, authority: KeyPair, hosts: list[str], now: datetime) -> bool:
    found = page.certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName)
    is_ours = page.certificate.issuer == authority.certificate.subject
    try:
        page.certificate.verify_directly_issued_by(authority.certificate)
    except Exception:
        is_ours = False
    return is_ours and not _ends_soon(page, now) and set(map(_host, hosts)) <= set(found.value)


def _ends_soon(pair: KeyPair, now: datetime) -> bool:
    return pair.certificate.not_valid_after_utc < now + RENEWED_BEFORE


def _kept(certificate: Path, key: Path) -> KeyPair | None:
    """What lies there; None for nothing, or for what cannot be read."""
    try:
        found = serialization.load_pem_private_key(key.read_bytes(), None)
        read = x509.load_pem_x509_certificate(certificate.read_bytes())
    except (OSError, ValueError):
        return None
    return KeyPair(found, read) if isinstance(found, ec.EllipticCurvePrivateKey) else None


def _keep(pair: KeyPair, certificate: Path, key: Path) -> None:
    form = serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    _write(key, pair.key.private_bytes(serialization.Encoding.PEM, *form))
    _write(certificate, pair.certificate.public_bytes(serialization.Encoding.PEM))


def _write(path: Path, body: bytes) -> None:
    """Write a file for its owner alone, whole or not at all."""
    partial = path.with_name(f"{path.name}.{os.getpid()}")
    partial.unlink(missing_ok=True)
    number = os.open(partial, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(number, "wb") as file:
        file.write(body)
    partial.replace(path)


def _host(host: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ip_address(host))
    except ValueError:
        return x509.DNSName(host)


def _name(common: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, common)])


def _usage(
    *, digital_signature: bool = False, key_cert_sign: bool = False, crl_sign: bool = False
) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=digital_signature,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=key_cert_sign,
        crl_sign=crl_sign,
        encipher_only=False,
        decipher_only=False,
    )
