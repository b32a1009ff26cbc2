"""The shop's rules, as the trade ships them and as this shop changed them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from crib.acts import act, saying
from crib.errors import BadValue
from crib.stock.book.own_materials import own_materials, rules_and_materials
from crib.stock.engine.session import Session
from crib.trade.shop.shop_rules import Rules, canonical_key, check_rule

if TYPE_CHECKING:
    from crib.stock.book.ledger import Stamp


def shop_rules(session: Session) -> Rules:
    """The rules in force: the defaults with the shop's changes over them."""
    changed, own = rules_and_materials(session)
    return Rules.of_crib(changed, own) if changed or own else Rules.defaults()


def require_agreeing(session: Session) -> None:
    """Refuse changes that would not be taken today, one by one or together.

    Raises:
        BadValue: for a value outside its limits, or two that cross each other.
    """
    changed, own = rules_and_materials(session)
    Rules({}, own).with_changes(changed)


def kept_rule(session: Session, key: str) -> str | None:
    """What one rule was set to in this crib, None where nobody set it."""
    kept: str | None = session.value("SELECT value FROM shop_rule WHERE key = ?", (key,))
    return kept


@dataclass(frozen=True, slots=True)
class ChangedRule:
    """Who changed a rule, when and why."""

    who: str
    changed_at: str
    why: str
    site: str = ""


def changed_rules(session: Session) -> dict[str, ChangedRule]:
    """The rules that this shop changed, or the asker's site for itself, by key."""
    rows = session.rows(
        "SELECT shop_rule.key, person.name, shop_rule.changed_at, shop_rule.why, '' FROM shop_rule"
        " JOIN person ON person.id = shop_rule.person_id"
    )
    if session.at is not None:
        rows += session.rows(
            "SELECT site_rule.key, person.name, site_rule.changed_at, site_rule.why, site.name"
            " FROM site_rule JOIN person ON person.id = site_rule.person_id"
            " JOIN site ON site.id = site_rule.site_id WHERE site_rule.site_id = ?",
            (session.at.id,),
        )
    # An exception of the asker's site comes last, over what the company says.
    return {row[0]: ChangedRule(*tuple(row)[1:]) for row in rows}


def set_rule(
    session: Session, stamp: Stamp, key: str, value: str, why: str, site_id: int | None = None
) -> str:
    """Change one rule, with who and why in the ledger. Returns the value as it is kept.

    It is the whole shop's, or an exception of one site.

    Raises:
        UnknownName: for a rule that does not exist.
        BadValue: for a value outside its limits or out of order with others, or no reason.
    """
    # Every answer reads the rules, and few write: those alone load the ledger.
    from crib.stock.book.ledger import NewEntry, write

    key, kept = canonical_key(key), check_rule(key, value, own_materials(session))
    if not why.strip():
        message = f"rule {key}: no reason given"
        raise BadValue(message, way_out=saying("say it with ", act("say.why")))
    with session.writing():
        rules = shop_rules(session)
        # Limits that must stay in order are checked together: a crib with them crossed is unusable.
        rules.with_changes({key: kept})
        before = rules.text(key)
        of_site = {} if site_id is None else {"site_id": site_id}
        session.upsert(
            "site_rule" if of_site else "shop_rule",
            {**of_site, "key": key, "value": kept, "person_id": stamp.person_id}
            | {"changed_at": stamp.made_at, "why": why},
            (*of_site, "key"),
            "value = excluded.value, person_id = excluded.person_id,"
            " changed_at = excluded.changed_at, why = excluded.why",
        )
        where = f" at {session.at.name}" if of_site and session.at else ""
        note = f"{key}{where}: {before} -> {kept}; {why}"
        write(session, stamp, [NewEntry("rule", note=note[:400])])
    return kept
