"""The company's sites: which there are, the days between them, the ways from one to another.

A crib without sites has none of it. What lies on a ``way`` has been sent and not received.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from crib.errors import BadValue
from crib.stock.book.names import name_meant
from crib.stock.engine.at_site import AtSite
from crib.stock.engine.session import Session
from crib.trade.shop.shop_rules import Rules

WHOLE_COMPANY = "all"
"""What is said instead of a site for every one at once; no site is called so."""
_ROOTED = ("place", "machine", "person", "device", "job", "want", "order_line")
"""Tables of what is at a site, or for one."""


@dataclass(frozen=True, slots=True)
class Site:
    """A site of the company, and where it is delivered to."""

    id: int
    name: str
    address: str


@dataclass(frozen=True, slots=True)
class SiteSize:
    """A site with how much stands there; pieces that are lost or retired are not."""

    id: int
    name: str
    address: str
    machines: int
    drawers: int
    pieces: int


@dataclass(frozen=True, slots=True)
class SiteDays:
    """How many days anything takes from one site to another, the same both ways."""

    usual: int
    pairs: Mapping[tuple[int, int], int] = field(default_factory=dict)

    def between(self, one: int | None, other: int | None) -> int:
        """Days from one site to another, none within one."""
        if one is None or other is None or one == other:
            return 0
        return self.pairs.get(_pair(one, other), self.usual)

    def said(self, one: int, other: int) -> bool:
        """Whether the days of these two were said, beside the rule for all."""
        return _pair(one, other) in self.pairs


def all_sites(session: Session) -> list[Site]:
    """Every site, in the order in which they became known."""
    return [Site(*row) for row in session.rows("SELECT id, name, address FROM site ORDER BY id")]


def has_sites(session: Session) -> bool:
    """Whether the crib knows any site."""
    return session.value("SELECT 1 FROM site LIMIT 1") is not None


def site_called(session: Session, name: str) -> Site:
    """The site that is meant.

    Raises:
        UnknownName: when there is none of that name, or more than one.
    """
    sites = {site.name: site for site in all_sites(session)}
    return sites[name_meant(name, list(sites), "no site called")]


def site_sizes(session: Session) -> list[SiteSize]:
    """Every site with what stands there; what is on the way to it does not yet."""
    rows = session.rows(
        "SELECT id, name, address,"
        " (SELECT count(*) FROM machine WHERE machine.site_id = site.id) AS machines,"
        " (SELECT count(*) FROM place WHERE place.site_id = site.id AND sort = 'drawer')"
        " AS drawers,"
        " (SELECT count(*) FROM piece JOIN place ON place.id = piece.place_id"
        " WHERE place.site_id = site.id AND place.sort <> 'way'"
        " AND piece.condition NOT IN ('lost', 'retired')) AS pieces FROM site ORDER BY id"
    )
    return [SiteSize(*row) for row in rows]


def stand_at(session: Session, site_id: int | None) -> None:
    """Have a session answer for one site, or for the whole company."""
    session.at = AtSite(site_id, {site.id: site.name for site in all_sites(session)})


def add_site(session: Session, name: str, address: str) -> Site:
    """Make a site known. The first one takes everything that is there.

    Raises:
        BadValue: for the word that means every site.
        RowRefused: for a name that is taken, empty or too long.
    """
    _require_own(name)
    site = Site(session.insert("site", {"name": name, "address": address}), name, address)
    if session.value("SELECT count(*) FROM site") == 1:
        for table in _ROOTED:
            session.run(f"UPDATE {table} SET site_id = ?", (site.id,))
    return site


def _require_own(name: str) -> None:
    if name.casefold() == WHOLE_COMPANY:
        message = f"a site cannot be called {name}: that is every site at once"
        raise BadValue(message, way_out="give it another name")


def rename_site(session: Session, site: Site, name: str, address: str) -> None:
    """Give a site another name or address; the ways from and to it follow.

    Raises:
        BadValue: for the word that means every site.
        RowRefused: for a name that is taken, empty or too long.
    """
    # Every answer asks for the sites, and few change one: those alone load the check.
    from crib.stock.tables.row_check import check_rows

    _require_own(name)
    check_rows("site", ("name", "address"), [(name, address)])
    with session.refusing("site"):
        session.run("UPDATE site SET name = ?, address = ? WHERE id = ?", (name, address, site.id))
    for row in session.rows(
        f"SELECT place.id, {_WAY_NAME} AS name FROM place JOIN site ON site.id = place.site_id"
        " JOIN site AS far ON far.id = place.to_site_id WHERE ? IN (site.id, far.id)",
        (site.id,),
    ):
        session.run("UPDATE place SET name = ? WHERE id = ?", (row["name"], row["id"]))


_WAY_NAME = "site.name || ' > ' || far.name"


def days_between(session: Session, rules: Rules) -> SiteDays:
    """The days between all sites."""
    rows = session.rows("SELECT site_id, to_site_id, days FROM site_days")
    return SiteDays(int(rules.number("site.days")), {(row[0], row[1]): row[2] for row in rows})


def set_days(session: Session, one: Site, other: Site, days: int) -> None:
    """Say how many days are between two sites.

    Raises:
        BadValue: for a site and itself.
        RowRefused: for days below 0 or too many.
    """
    if one.id == other.id:
        message = f"{one.name} is no days from itself"
        raise BadValue(message, way_out="name two sites")
    pair = _pair(one.id, other.id)
    values = {"site_id": pair[0], "to_site_id": pair[1], "days": days}
    session.upsert("site_days", values, ("site_id", "to_site_id"), "days = excluded.days")


def way_between(session: Session, from_id: int, to: Site) -> int:
    """The number of the place that stands for the way from one site to another."""
    sql = "SELECT id FROM place WHERE sort = 'way' AND site_id = ? AND to_site_id = ?"
    found = session.value(sql, (from_id, to.id))
    if found is not None:
        return int(found)
    name = session.value(
        f"SELECT {_WAY_NAME} FROM site JOIN site AS far ON far.id = ? WHERE site.id = ?",
        (to.id, from_id),
    )
    return session.insert(
        "place", {"name": name, "sort": "way", "site_id": from_id, "to_site_id": to.id}
    )


def home_of(session: Session, names: Iterable[str]) -> int | None:
    """The home site of the first of some badge names that has one."""
    for name in names:
        sql = "SELECT site_id FROM person WHERE name = ?"
        found = session.value(sql, (name,))
        if found is not None:
            return int(found)
    return None


def places_amiss(session: Session) -> list[str]:
    """Places and machines of a crib with sites that are at none, or not with their machine."""
    if not has_sites(session):
        return []
    rows = session.rows(
        "SELECT name FROM machine WHERE site_id IS NULL"
        " UNION ALL SELECT place.name FROM place"
        " LEFT JOIN station ON station.id = place.station_id"
        " LEFT JOIN machine ON machine.id = station.machine_id"
        " WHERE place.site_id IS NULL OR place.site_id <> coalesce(machine.site_id, place.site_id)"
    )
    return [row[0] for row in rows]


def move_machines(session: Session) -> None:
    """Bring the places of stations to the sites of their machines."""
    session.run(
        "UPDATE place SET site_id = (SELECT machine.site_id FROM machine"
        " JOIN station ON station.machine_id = machine.id WHERE station.id = place.station_id)"
        " WHERE station_id IS NOT NULL"
    )


def _pair(one: int, other: int) -> tuple[int, int]:
    return (one, other) if one < other else (other, one)
