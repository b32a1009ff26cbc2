"""People's PINs for the page, hashed, with the wait after wrong tries; and what people may do."""

from __future__ import annotations

from dataclasses import dataclass

from crib.stock.engine.session import Session


@dataclass(frozen=True, slots=True)
class KeptPin:
    """A person's PIN as it is kept."""

    pin_hash: str
    wrong: int = 0
    wait_until_s: float = 0.0


def kept_pin(session: Session, name: str) -> KeptPin | None:
    """The PIN of a badge name; None where there is none."""
    row = session.row(
        "SELECT pin_hash, wrong, wait_until_s FROM pin JOIN person ON person.id = pin.person_id"
        " WHERE person.name = ?",
        (name,),
    )
    return KeptPin(**dict(row)) if row else None


def keep_pin(session: Session, person_id: int, pin: KeptPin | None) -> None:
    """Keep a person's PIN, or none."""
    session.run("DELETE FROM pin WHERE person_id = ?", (person_id,))
    if pin is not None:
        session.add(
            "pin",
            {"person_id": person_id, "pin_hash": pin.pin_hash, "wrong": pin.wrong}
            | {"wait_until_s": pin.wait_until_s},
        )


def page_acts_of(session: Session, name: str) -> str:
    """The sorts of acts that somebody may do at the page of the asker's site; empty for all."""
    # None, as where the crib has no sites, is the number of no site.
    site = session.at.id if session.at else None
    sql = (
        "SELECT coalesce(site_role.may, person.may) FROM person LEFT JOIN site_role"
        " ON site_role.person_id = person.id AND site_role.site_id = ? WHERE person.name = ?"
    )
    return str(session.value(sql, (site, name)) or "")
