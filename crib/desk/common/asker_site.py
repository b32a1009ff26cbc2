"""At which site whoever asks is: the one rule, for every door."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

from crib.acts import act, saying
from crib.errors import BadValue, Missing, UnknownName
from crib.stock.book.names import name_meant
from crib.stock.book.people import WINDOW, person_called
from crib.stock.book.sites import WHOLE_COMPANY, all_sites, home_of
from crib.stock.engine.at_site import AtSite
from crib.stock.engine.session import Session


def stand_where(
    session: Session, said: str = "", by: str = "", device: int | None = None, *, writes: bool
) -> None:
    """Say where a session's asker is; nowhere in a crib without sites.

    It is what was said; else where the device stands; else the home site of who acts; else that of
    the window. ``all`` is the whole company; so is it where nobody tells the site, for what only
    reads, or writes at none (``writes`` is False).

    Raises:
        BadValue: for a site said in a crib without any, or the whole company where one acts.
        UnknownName: for a site that is not known.
        Missing: where none of them tells it.
    """
    names = {site.id: site.name for site in all_sites(session)}
    wanted = said.strip()
    if not names:
        if wanted:
            message = f"this crib has no sites, and {wanted[:40]!r} was said"
            way_out = saying("leave it out, or make one known: ", act("site.add", site=None))
            raise BadValue(message, way_out=way_out)
        return
    if wanted.casefold() == WHOLE_COMPANY:
        if writes:
            message = "this is done at one site, and all were said"
            raise BadValue(message, way_out=saying("say which: ", act("say.site", site=None)))
        session.at = AtSite(None, names)
        return
    found = _site_of(session, names, wanted, by, device)
    if found is None and writes:
        message = f"this crib has {len(names)} sites, and nobody said at which one you are"
        ways = (
            act("say.site", site=None),
            ", or keep your home site: ",
            act("person.site", person=None, site=None),
        )
        raise Missing(message, way_out=saying("say it with ", *ways))
    session.at = AtSite(found, names)


def _site_of(
    session: Session, names: dict[int, str], wanted: str, by: str, device: int | None
) -> int | None:
    if wanted:
        meant = name_meant(wanted, list(names.values()), "no site called")
        return next(number for number, name in names.items() if name == meant)
    if len(names) == 1:
        return next(iter(names))
    return device if device is not None else home_of(session, _who(session, by))


def _who(session: Session, by: str) -> Sequence[str]:
    """Whose home site counts; a name that nobody has is told of where it is used."""
    with suppress(UnknownName):
        return (person_called(session, by), WINDOW) if by.strip() else (WINDOW,)
    return (WINDOW,)
