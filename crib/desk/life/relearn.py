"""The interval that reminders follow, kept beside each kind when its edges teach something new.

It is worked out where evidence comes in (a grind, a turn, a look, a break, what is taken back), in
the transaction of that act, so that nobody who only asks ever waits for it. A kind hears what its
neighbours' edges taught with its own next edge: an act touches the kinds of its own pieces only. So
it hears of strokes that were typed after the grind that followed them.

How a level maps to a risk: an interval is the count by which one edge in ten is dull
(``life.dull_at_share``), so the shop's levels at 70, 90, 100 and 120 % of it are where 5, 8, 10 and
15 in a hundred are by the settings; ``desk.life.level_risks`` says it by what edges taught.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from crib.desk.common.piece_wear import EDGED
from crib.desk.life.edges_seen import Known
from crib.desk.life.learning import interval_taught
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.edge_ends import (
    EdgeKind,
    edge_kind,
    keep_learned,
    kinds_of_pieces,
    kinds_with_ends,
    learned_kinds,
)
from crib.trade.common.verdicts import exceeds
from crib.trade.shop.shop_rules import Rules

_RULES = ("life.", "wear.interval_strokes")


def relearn(session: Session, kind_ids: Iterable[int], at_least: float = 0.0) -> None:
    """Set what the ledger teaches of some kinds. Stands inside ``session.writing()``.

    A kind without an edge of its own of which somebody saw how it was has none: the settings hold.
    An interval that is learned at all is ``at_least`` so long.
    """
    rules, known = shop_rules(session), Known()
    for kind_id in sorted(set(kind_ids)):
        strokes = taught(session, edge_kind(session, kind_id), rules, known)
        longer = None if strokes is None else max(strokes, round(at_least))
        keep_learned(session, kind_id, longer)


def relearn_pieces(session: Session, piece_ids: Iterable[int]) -> None:
    """Set what the ledger teaches of the kinds of some pieces. Stands inside ``writing()``."""
    relearn(session, kinds_of_pieces(session, piece_ids))


def relearn_all(session: Session) -> None:
    """Set what the ledger teaches of every kind. Stands inside ``session.writing()``."""
    relearn(session, {*kinds_with_ends(session), *learned_kinds(session)})


def depends_on(key: str) -> bool:
    """Whether the learned intervals depend on a shop rule."""
    return key.startswith(_RULES)


def taught(
    session: Session, kind: EdgeKind, rules: Rules, known: Known | None = None
) -> int | None:
    """The interval that the ledger teaches today; None where the settings hold."""
    strokes = interval_taught(session, kind, rules, known)
    return None if strokes is None else max(1, round(strokes))


def learned_faults(session: Session) -> Iterator[str]:
    """Learned intervals that no edge bears out, or that are further off than the shop lets them.

    One that lags behind the ledger is no fault: neighbours' news come with a kind's own next edge.
    """
    rules, ended = shop_rules(session), set(kinds_with_ends(session))
    usual, most = rules.number("wear.interval_strokes"), rules.number("life.most_stretch")
    follow = rules.text("life.follow") == "yes"
    for kind_id in learned_kinds(session):
        kind = edge_kind(session, kind_id)
        learned, interval = kind.learned_strokes or 0, kind.interval_strokes or usual
        if kind_id not in ended or kind.role not in EDGED:
            yield f"{kind.name}: learned {learned:,}, and no edge of it was seen at its end"
        elif not follow:
            yield f"{kind.name}: learned {learned:,}, and life.follow is no"
        # Half a stroke, because it is kept in whole ones.
        elif exceeds(learned - 0.5, most * interval) or exceeds(interval / most, learned + 0.5):
            yield f"{kind.name}: learned {learned:,}, more than {most:g} times off {interval:,.0f}"


def kinds_to_relearn(session: Session) -> list[str]:
    """The names of the kinds whose settings hold although their edges taught something."""
    rules, known = shop_rules(session), set(learned_kinds(session))
    if rules.text("life.follow") == "no":
        return []
    kinds, seen = (edge_kind(session, one) for one in kinds_with_ends(session)), Known()
    new = [kind for kind in kinds if kind.id not in known]
    return [kind.name for kind in new if taught(session, kind, rules, seen) is not None]
