"""The shop's settings: list them with where each comes from, and change one with a reason."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from crib.acts import act, saying
from crib.desk.common.acting import require_reason, stamp_for
from crib.desk.life.relearn import depends_on, relearn_all
from crib.errors import BadValue, UnknownName
from crib.stock.book.settings import ChangedRule, changed_rules, set_rule, shop_rules
from crib.stock.book.sites import has_sites, site_called, stand_at
from crib.stock.engine.session import Session
from crib.trade.shop.shop_rules import Rule, canonical_key

LEGEND: tuple[tuple[str, str], ...] = (
    ("C", "public chart"),
    ("CP", "common practice"),
    ("HB", "handbook"),
    ("STD", "standard"),
    ("J", "our own default, no source"),
)

_OF_SITES = ("site.",)
"""Settings that say nothing in a crib without sites."""


@dataclass(frozen=True, slots=True)
class RuleLine:
    """One setting as it stands; who changed it, when and why, when it is not the default."""

    key: str
    value: str
    default: str
    changed: bool
    unit: str
    tag: str
    meaning: str
    least: str = ""
    most: str = ""
    who: str = ""
    changed_at: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class RuleList:
    """The settings whose key begins alike, and what their tags mean."""

    rules: tuple[RuleLine, ...]
    legend: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class RuleChange:
    """A setting before and after."""

    key: str
    before: str
    value: str
    default: str
    unit: str
    meaning: str
    why: str


def list_rules(session: Session, prefix: str = "") -> RuleList:
    """Every setting, or those whose key begins with ``prefix``.

    Raises:
        UnknownName: when no key begins so.
    """
    start = prefix.strip().casefold()
    changes = changed_rules(session)
    hidden = () if has_sites(session) else _OF_SITES
    found = [
        _line(rule, changes.get(rule.key))
        for rule in shop_rules(session).rows()
        if rule.key.casefold().startswith(start) and not rule.key.startswith(hidden)
    ]
    if not found:
        key = canonical_key(prefix)
        message = f"this shop has no figure of its own for {key}: {shop_rules(session).text(key)}"
        change = act("rules.change", key=key, value=None, why=None)
        raise UnknownName(message, way_out=saying("set one: ", change))
    return RuleList(tuple(found), LEGEND)


def _line(rule: Rule, change: ChangedRule | None) -> RuleLine:
    return RuleLine(
        key=rule.key,
        value=rule.value,
        default=rule.default,
        changed=rule.value != rule.default,
        unit=rule.unit,
        tag=rule.tag,
        meaning=rule.meaning,
        least=rule.least,
        most=rule.most,
        who=_who(change) if change else "",
        changed_at=change.changed_at if change else "",
        why=change.why if change else "",
    )


def _who(change: ChangedRule) -> str:
    return f"{change.who}, for {change.site} alone" if change.site else change.who


def change_rule(
    session: Session,
    key: str,
    value: str,
    why: str,
    *,
    by: str = "",
    only_at: str = "",
    now: datetime | None = None,
) -> RuleChange:
    """Change one setting, with who and why in the ledger; for one site alone, if that is said.

    Raises:
        UnknownName: for a key that is not there, or a site.
        BadValue: for a value outside its limits, no reason, or nobody's name.
    """
    reason = require_reason(why, f"rule {key}")
    canonical = canonical_key(key)
    if not by.strip():
        message = f"rule {canonical}: nobody's name given; answers rest on it"
        raise BadValue(message, way_out=saying("say who changes it: ", act("say.by")))
    site_id = site_called(session, only_at).id if only_at else None
    if only_at:
        stand_at(session, site_id)
    with session.writing():
        before = shop_rules(session).text(canonical)
        set_rule(session, stamp_for(session, by, now=now), canonical, value, reason, site_id)
        if depends_on(canonical):
            relearn_all(session)
    (rule,) = (row for row in shop_rules(session).rows() if row.key == canonical)
    return RuleChange(canonical, before, rule.value, rule.default, rule.unit, rule.meaning, reason)
