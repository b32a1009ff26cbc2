"""The company's sites: one more of them, another name, the days between two."""

from __future__ import annotations

from dataclasses import dataclass

from crib.errors import BadValue
from crib.stock.book.settings import shop_rules
from crib.stock.book.sites import (
    SiteSize,
    add_site,
    days_between,
    has_sites,
    rename_site,
    set_days,
    site_called,
    site_sizes,
)
from crib.stock.engine.session import Session


@dataclass(frozen=True, slots=True)
class Apart:
    """How many days are between two sites; ``said`` where it is not the rule for all."""

    site: str
    to: str
    days: int
    said: bool


@dataclass(frozen=True, slots=True)
class Company:
    """Every site with what stands there, and the days between each two."""

    sites: tuple[SiteSize, ...]
    apart: tuple[Apart, ...]


@dataclass(frozen=True, slots=True)
class SiteKept:
    """A site as it is kept now; ``took`` where it took everything that was there."""

    name: str
    address: str
    took: bool = False
    was: str = ""


def list_sites(session: Session) -> Company:
    """Every site, in the order in which they became known."""
    sites = site_sizes(session)
    days = days_between(session, shop_rules(session))
    return Company(
        tuple(sites),
        tuple(
            Apart(one.name, other.name, days.between(one.id, other.id), days.said(one.id, other.id))
            for at, one in enumerate(sites)
            for other in sites[at + 1 :]
        ),
    )


def new_site(session: Session, name: str, address: str) -> SiteKept:
    """Make a site known; the first takes all places, machines, people and devices there are.

    Raises:
        BadValue: for the word that means every site.
        RowRefused: for a name that is taken, empty or too long.
    """
    with session.writing():
        took = not has_sites(session)
        site = add_site(session, tidy(name), tidy(address))
    return SiteKept(site.name, site.address, took)


def change_site(session: Session, name: str, to: str, address: str) -> SiteKept:
    """Give a site another name or address; what is not said stays.

    Raises:
        UnknownName: for a site that is not known.
        BadValue, RowRefused: as ``new_site``.
    """
    with session.writing():
        site = site_called(session, name)
        kept = SiteKept(tidy(to) or site.name, tidy(address) or site.address, was=site.name)
        rename_site(session, site, kept.name, kept.address)
    return kept


def keep_days(session: Session, one: str, other: str, days: int | None) -> Apart:
    """Say how many days are between two sites.

    Raises:
        UnknownName: for a site that is not known.
        BadValue: for a site and itself, or no days.
    """
    with session.writing():
        near, far = site_called(session, one), site_called(session, other)
        if days is None:
            message = f"how many days are between {near.name} and {far.name} was not said"
            raise BadValue(message, way_out="say a whole number")
        set_days(session, near, far, days)
    return Apart(near.name, far.name, days, said=True)


def tidy(text: str) -> str:
    """A name or an address without blanks that nobody sees."""
    return " ".join(text.split())
