"""How a tablet comes to trust the page: the authority's certificate, and where it goes."""

from __future__ import annotations

from crib.errors import UnknownName
from crib.page.frame.reply import Drawing, Reply, Shown, View
from crib.page.frame.request import PageRequest

SYSTEMS = ("android", "ios", "windows", "linux")


def trust(asked: PageRequest) -> Reply:
    """What to do at the tablet, and the fingerprint to compare."""
    seen = ""
    if asked.authority:
        from crib.page.guard.certificate import fingerprint

        seen = fingerprint(asked.authority)
    return Shown("trust", {"fingerprint": seen, "systems": SYSTEMS}, {"sha256": seen})


def authority(asked: PageRequest) -> Reply:
    """The authority's certificate itself.

    Raises:
        UnknownName: where the page is served without one.
    """
    if asked.authority is None:
        message = "the page is served over plain HTTP, without a certificate"
        raise UnknownName(message, way_out="ask whoever keeps the crib to serve it over HTTPS")
    return Drawing(asked.authority.read_bytes(), "application/x-x509-ca-cert", "tool-crib.crt")


VIEWS = (
    View("/trust", trust, keeps=False, open_to="anybody"),
    View("/trust/authority", authority, keeps=False, open_to="anybody"),
)
