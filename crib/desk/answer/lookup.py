"""What asks of one request are looked up with: rules, shelf and promises, each read once."""

from __future__ import annotations

from functools import cached_property

from crib.desk.answer.search import Search
from crib.features.common.ask import Ask
from crib.features.common.case import Circumstances
from crib.features.common.plate_phrase import Reading
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.standing_shop import StandingShop
from crib.stock.queries.tool_shelf import ToolShelf
from crib.stock.writers.holds import HoldCard, active_holds, tags_held_for_others
from crib.trade.shop.shop_rules import Rule, Rules

_OF_MATERIALS = "material."


class KnownShop:
    """What every find of one state of the crib reads alike: the shop's rules, what stands in it.

    Whoever answers many may keep it for as long as nobody writes in the crib.
    """

    def __init__(self, session: Session) -> None:
        self.session = session
        self.standing = StandingShop(session)

    @cached_property
    def rules(self) -> Rules:
        """The rules in force."""
        return shop_rules(self.session)


class Lookup:
    """The shop as one request sees it."""

    def __init__(
        self, session: Session, rules: Rules | None = None, known: KnownShop | None = None
    ) -> None:
        shop = known or KnownShop(session)
        self.session = session
        # Of each request its own, since they remember what was looked at.
        self.rules = rules or shop.rules.watched()
        self.reading = Reading(self.rules)
        self.shelf = ToolShelf(session, self.rules, shop.standing)

    @cached_property
    def holds(self) -> list[HoldCard]:
        """Everything that is promised or out."""
        return active_holds(self.session)

    def search(self, ask: Ask, facts: Circumstances) -> Search:
        """A search of the shelf, with a caution for what is promised to other jobs."""
        promised = tags_held_for_others(self.holds, facts.job)
        return Search(self.shelf, ask.answers(self.rules.watched(), facts), promised=promised)


def rests_on(search: Search) -> tuple[Rule, ...]:
    """The changed rules that were looked at for an answer, in its phrase or its judgement.

    Of the shop's own figures for materials only those of its plate, and of the steels of its lists.
    """
    case, reading = search.case, search.shelf.rules
    named = {key for key in reading.looked_at if not key.startswith(_OF_MATERIALS)}
    if case.plate.assumed:
        named.add("material.default")
    own = reading.changed_for(case.plate.material.name)
    return reading.changed_among(case.rules.looked_at | named | own)
