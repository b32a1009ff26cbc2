"""What edges teach of a kind, kept beside it: the interval that reminders follow, and its life.

It is worked out where evidence comes in (a grind, a turn, a look, a break, what is taken back), in
the transaction of that act, so that nobody who only asks ever waits for it. A kind hears what its
neighbours' edges taught with its own next edge: an act touches the kinds of its own pieces only. So
it hears of strokes that were typed after the grind that followed them. A kind without a learned
interval may have no edge of its own for long; its life is learned anew with those of its like.

How a level maps to a risk: an interval is the count by which one edge in ten is dull
(``life.dull_at_share``), so the shop's levels at 70, 90, 100 and 120 % of it are where 5, 8, 10 and
15 in a hundred are by the settings; ``desk.life.level_risks`` says it by what edges taught.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from crib.desk.common.piece_wear import EDGED
from crib.desk.life.edges_seen import Known
from crib.desk.life.learning import like_kinds, own_edges, told_edges
from crib.desk.life.taught import Taught, taught
from crib.errors import BadValue
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.edge_ends import (
    EdgeKind,
    edge_kind,
    keep_learned,
    keep_life,
    kinds_of_pieces,
    kinds_with_ends,
    kinds_with_pieces,
    learned_kinds,
    lived_kinds,
)
from crib.trade.common.verdicts import exceeds
from crib.trade.life.kept_life import life_of_text
from crib.trade.shop.shop_rules import Rules

_RULES = ("life.", "wear.interval_strokes")


def relearn(session: Session, kind_ids: Iterable[int], at_least: float = 0.0) -> None:
    """Set what the ledger teaches of some kinds. Stands inside ``session.writing()``.

    A kind without an edge of its own of which somebody saw how it was has no interval: the settings
    hold. An interval that is learned at all is ``at_least`` so long.
    """
    rules, known, own = shop_rules(session), Known(), set(kind_ids)
    changed = [
        kind
        for kind in (edge_kind(session, one) for one in sorted(own))
        if _keep(session, kind, taught(session, kind, rules, known), at_least)
    ]
    like = {one for kind in changed for one in like_kinds(session, kind)} - own
    for kind in (edge_kind(session, one) for one in sorted(like)):
        if kind.learned_strokes is None:
            keep_life(session, kind.id, taught(session, kind, rules, known).life)


def _keep(session: Session, kind: EdgeKind, now: Taught, at_least: float) -> bool:
    """Keep what is taught of a kind; whether its life is another than before."""
    longer = None if now.strokes is None else max(now.strokes, round(at_least))
    keep_learned(session, kind.id, longer)
    keep_life(session, kind.id, now.life)
    return now.life != kind.learned_life


def relearn_pieces(session: Session, piece_ids: Iterable[int]) -> None:
    """Set what the ledger teaches of the kinds of some pieces. Stands inside ``writing()``."""
    relearn(session, kinds_of_pieces(session, piece_ids))


def hear(session: Session, kind_id: int) -> None:
    """Set the life of a kind that new pieces came of from its like, where none is kept yet.

    Stands inside ``session.writing()``.
    """
    kind = edge_kind(session, kind_id)
    if not kind.learned_life:
        keep_life(session, kind_id, taught(session, kind, shop_rules(session)).life)


def relearn_all(session: Session) -> None:
    """Set what the ledger teaches of every kind. Stands inside ``session.writing()``."""
    rules, known = shop_rules(session), Known()
    kinds = {*learned_kinds(session), *lived_kinds(session)}
    ended = (edge_kind(session, one) for one in kinds_with_ends(session))
    if any(told_edges(own_edges(session, kind, rules, known)) for kind in ended):
        kinds |= set(kinds_with_pieces(session, EDGED))
    for kind in (edge_kind(session, one) for one in sorted(kinds)):
        _keep(session, kind, taught(session, kind, rules, known), 0.0)


def depends_on(key: str) -> bool:
    """Whether the learned intervals depend on a shop rule."""
    return key.startswith(_RULES)


def learned_faults(session: Session) -> Iterator[str]:
    """Learned intervals that no edge bears out, or that are further off than the shop lets them.

    One that lags behind the ledger is no fault: neighbours' news come with a kind's own next edge.
    """
    yield from _unread_lives(session)
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


def _unread_lives(session: Session) -> Iterator[str]:
    for kind_id in lived_kinds(session):
        kind = edge_kind(session, kind_id)
        try:
            life_of_text(kind.learned_life)
        except BadValue as error:
            yield f"{kind.name}: {error.message}"


def kinds_to_relearn(session: Session) -> list[str]:
    """The names of the kinds whose settings hold although their edges taught something.

    Beside them those whose interval was learned before lives were kept.
    """
    rules, known = shop_rules(session), set(learned_kinds(session))
    if rules.text("life.follow") == "no":
        return []
    kinds, seen = (edge_kind(session, one) for one in kinds_with_ends(session)), Known()
    return [
        kind.name
        for kind in kinds
        if (not kind.learned_life if kind.id in known else _teaches(session, kind, rules, seen))
    ]


def _teaches(session: Session, kind: EdgeKind, rules: Rules, known: Known) -> bool:
    return kind.role in EDGED and told_edges(own_edges(session, kind, rules, known)) > 0
