"""Lines of an order for several sites: how many for which, and where they are delivered."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace

from crib.acts import act, saying
from crib.desk.buying.buy import BuyLine
from crib.errors import BadValue, Refused
from crib.stock.book.sites import Site, all_sites, site_called
from crib.stock.engine.at_site import AtSite
from crib.stock.engine.session import Session
from crib.stock.writers.purchases import NewLine

Share = tuple[Site, int]
"""A site, and how many of a line it gets."""


@contextmanager
def whole_company(session: Session) -> Iterator[None]:
    """What is read in the block is read for every site at once."""
    before = session.at
    session.at = None if before is None else AtSite(None, before.names)
    try:
        yield
    finally:
        session.at = before


def shares_of(
    session: Session, said: Sequence[tuple[str, int]], lines: Sequence[BuyLine]
) -> list[Share]:
    """How many of the one line that is ordered each site gets; none where nobody said.

    Raises:
        Refused: for several lines at once, a package, or a crib without several sites.
        BadValue: when they are not as many as the line has, or a site stands there twice.
        UnknownName: for a site that is not known.
    """
    if not said:
        return []
    if session.at is None or not session.at.several:
        message = "this crib has no several sites to share a line out to"
        raise Refused(message, way_out=saying(act("site.add", site=None), " makes one known"))
    if len(lines) != 1 or lines[0].contents:
        message = f"one line at a time is shared out, {len(lines)} are ordered"
        raise Refused(message, way_out="order each line by itself, with the sites it is for")
    shares = [(site_called(session, name), count) for name, count in said]
    line, total = lines[0], sum(count for _site, count in shares)
    if total != line.quantity or len({site.id for site, _count in shares}) < len(shares):
        message = f"line {line.name} has {line.quantity}, {total} are shared out"
        raise BadValue(message, way_out="say each site once, and as many as the line has")
    return shares


def for_sites(session: Session, line: NewLine, shares: Sequence[Share]) -> Iterator[NewLine]:
    """A line for each site that gets some of it; else for the site where it is ordered."""
    if session.at is None:
        yield line
    elif shares:
        for site, count in shares:
            yield replace(line, quantity=count, site_id=site.id, text=_delivered(line, site))
    else:
        here = next((one for one in all_sites(session) if one.id == session.at.id), None)
        told = _delivered(line, here) if here is not None and session.at.several else line.text
        yield replace(line, site_id=session.at.id, text=told)


def _delivered(line: NewLine, site: Site) -> str:
    """A line's text with where it is delivered, for the supplier."""
    address = f", {site.address}" if site.address else ""
    return f"{line.text}, deliver to {site.name}{address}"
