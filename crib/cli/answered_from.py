"""Which crib a command answers from: kept while it runs, told under every answer."""

from __future__ import annotations

from contextvars import ContextVar
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable

    from crib.desk.common.which_crib import WhichCrib
    from crib.stock.engine.session import Session

_NOW: ContextVar[WhichCrib | None] = ContextVar("answered_from", default=None)


@dataclass(frozen=True, slots=True)
class Asker:
    """Where and who the asker is, as far as a command says it, and whether it writes."""

    site: str = ""
    by: str = ""
    writes: bool = False


_ASKER: ContextVar[Asker | None] = ContextVar("asker", default=None)


def asking(site: str, by: str, *, writes: bool) -> None:
    """Say who asks from where, before the crib is opened."""
    _ASKER.set(Asker(site, by, writes))


def answering_from(session: Session | None) -> None:
    """Say which crib the answers to come are from; None before any is opened."""
    if session is None:
        _NOW.set(None)
        return
    from crib.desk.common.asker_site import stand_where
    from crib.desk.common.which_crib import which_crib

    asker = _ASKER.get() or Asker()
    stand_where(session, asker.site, asker.by, writes=asker.writes)
    _NOW.set(which_crib(session))


def site_lines() -> list[str]:
    """At which site a screen was asked, over it; nothing in a crib without several."""
    which = _NOW.get()
    return [f"at {which.site}"] if which and which.site else []


def crib_lines() -> list[str]:
    """What is said of the crib under an answer: which it is, and why nothing can be written."""
    which = _NOW.get()
    if which is None:
        return []
    called = ", ".join(part for part in (which.name, "an invented shop" * which.demo) if part)
    told = [f"crib: {called} ({which.file.name})" if called else f"crib: {which.file.name}"]
    return told + [f"nothing can be written: {which.cannot_write}"] * bool(which.cannot_write)


def crib_facts() -> dict[str, Any]:
    """The same for programs, to stand in the answer."""
    which = _NOW.get()
    if which is None:
        return {}
    facts: dict[str, Any] = {"name": which.name, "file": str(which.file), "demo": which.demo}
    facts |= {"site": which.site} if which.site else {}
    return {"answered_from": facts | {"cannot_write": which.cannot_write}}


def asked_by_all(session: Session) -> tuple[Callable[[], object], ...]:
    """What every command asks of its crib before it comes to its own questions."""

    def sites() -> object:
        from crib.stock.book.sites import all_sites

        return all_sites(session)

    def name() -> object:
        from crib.desk.common.which_crib import which_crib

        return which_crib(session)

    def rules() -> object:
        from crib.stock.book.settings import shop_rules

        return shop_rules(session)

    return sites, name, rules
