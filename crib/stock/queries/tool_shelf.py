"""The shelf as one request sees it: whatever is read for an ask is kept for the next one.

What many asks will want can be read ahead, with as few questions for all of them as for one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cached_property, partial

from crib.features.common.ask import Need
from crib.features.common.tooling import Adapter, EnvelopeRow, Seat, Station
from crib.stock.book.sites import SiteDays, days_between
from crib.stock.engine.session import Session
from crib.stock.queries.candidates import (
    KindRow,
    MeasuredPieces,
    all_measured_pieces,
    kinds_for,
    measured_pieces,
    usable_pieces,
)
from crib.stock.queries.kind_copies import copies_at_hand
from crib.stock.queries.kind_specs import Declared, KindSpec, SizeAsk, kinds_of_sizes
from crib.stock.queries.near_pieces import (
    Nearest,
    Steps,
    any_pieces,
    count_steps,
    nearest_pieces,
)
from crib.stock.queries.pieces import PieceCard
from crib.stock.queries.read_ahead import ReadAhead
from crib.stock.queries.standing_shop import StandingShop
from crib.stock.queries.tooling_terms import KindAsk, NeedAsk, is_at_hand, is_long_enough
from crib.trade.shop.shop_rules import Rules

_IN_HAND = -1
"""In the walk before the first drawer."""


class ToolShelf:
    """Stations, seats, kinds and pieces, each read once for a request.

    ``kinds``, ``usable`` and the like answer one question each; ``ahead`` reads for many at once.
    What stands in the shop may be known already.
    """

    def __init__(self, session: Session, rules: Rules, shop: StandingShop | None = None) -> None:
        self.session = session
        self.shop = shop or StandingShop(session)
        self.rules = rules
        self.kinds = ReadAhead[Need, list[KindRow]](partial(kinds_for, session))
        self.usable = ReadAhead[KindAsk, list[PieceCard]](partial(usable_pieces, session))
        self._few_measured = ReadAhead[NeedAsk, MeasuredPieces](partial(measured_pieces, session))
        self.near = ReadAhead[NeedAsk, list[PieceCard]](partial(any_pieces, session))
        self.nearest = ReadAhead[Need, Nearest](partial(nearest_pieces, session))
        self.steps = ReadAhead[NeedAsk, Steps](partial(count_steps, session))
        self.copies = ReadAhead[int, list[PieceCard]](self._copies)
        self.sized = ReadAhead[SizeAsk, list[KindSpec]](self._kinds_of_sizes)
        self._all_measured = ReadAhead[NeedAsk, MeasuredPieces](
            partial(all_measured_pieces, session)
        )
        self._in_hand: tuple[PieceCard, ...] = ()

    def have_in_hand(self, cards: Iterable[PieceCard]) -> None:
        """Take pieces as at hand and nearest, wherever they are: whoever asks has them already."""
        self._in_hand = tuple(
            replace(one, place_sort="drawer", walk_order=_IN_HAND)
            for one in cards
            if one.station_id is None
        )

    @cached_property
    def beyond(self) -> ToolShelf | None:
        """The tools of every site for the stations of this one; None where no others are."""
        if self.session.site is None:
            return None
        everywhere = self.session.everywhere()
        wide = ToolShelf(everywhere, self.rules, StandingShop(everywhere, self.session))
        wide._in_hand = self._in_hand
        return wide

    def far(self, site_id: int | None) -> tuple[str, int]:
        """The name of another site than the asker's, and the days from there; none for his own."""
        here, at = self.shop.here.site, self.shop.here.at
        if here is None or at is None or site_id in (None, here):
            return "", 0
        return at.names[site_id or 0], self._days.between(site_id, here)

    @cached_property
    def _days(self) -> SiteDays:
        return days_between(self.session, self.rules)

    @property
    def seats(self) -> dict[str, Seat]:
        """Every seat, by its name."""
        return self.shop.seats

    def stations(self, work: str) -> list[Station]:
        """The stations in service that do a sort of work."""
        return self.shop.stations(work)

    def adapters(self, family: str) -> tuple[Adapter, ...]:
        """The adapters at hand for a family of materials."""
        return self.shop.adapters(family)

    def envelope(self, kind_id: int) -> list[EnvelopeRow]:
        """What a kind is proven for."""
        return self.shop.envelope(kind_id)

    def standing(self, role: str, profile: str) -> list[PieceCard]:
        """The pieces of a role and profile that stand at a station, a broken one too."""
        return self.shop.standing(role, profile)

    def mounted(self, asked: NeedAsk) -> list[PieceCard]:
        """The pieces of a need's role and shape that stand mounted or are in hand already.

        By their nominal size.
        """
        need = asked.need
        return [
            piece
            for piece in (*self.shop.mounted(need.role, need.profile, need.shape), *self._own(need))
            if piece.measured_width_mm is None
            and piece.measured_long_mm is None
            and is_at_hand(piece, asked.family)
            and is_long_enough(piece, asked.wanted.grind_mm)
        ]

    def _own(self, need: Need) -> list[PieceCard]:
        """What is in hand of a need's role and shape."""
        sort = (need.role, need.profile, need.shape)
        return [one for one in self._in_hand if (one.role, one.profile, one.shape) == sort]

    def _own_measured(self, asked: NeedAsk) -> tuple[PieceCard, ...]:
        """What is in hand, was measured, and could serve a need by its measure."""
        need = asked.need
        return tuple(
            one
            for one in self._own(need)
            if not (one.measured_width_mm is None and one.measured_long_mm is None)
            and need.least_width_mm
            <= (one.measured_width_mm or one.width_mm or 0.0)
            <= need.most_width_mm
            and is_at_hand(one, asked.family)
            and is_long_enough(one, asked.wanted.grind_mm)
        )

    def _copies(self, kind_ids: Sequence[int]) -> list[list[PieceCard]]:
        """The copies of each kind at hand, those in hand among them."""
        found = copies_at_hand(self.session, kind_ids)
        own = [one for one in self._in_hand if one.condition == "sound"]
        return [
            _with(cards, [one for one in own if one.kind_id == kind_id])
            for kind_id, cards in zip(kind_ids, found, strict=True)
        ]

    def measured_ahead(self, asked: Iterable[tuple[NeedAsk, bool]]) -> None:
        """Read the measured pieces for some needs: those that could come first, or every one."""
        wanted = dict(asked)
        self._few_measured.ahead(wanted)
        self._all_measured.ahead(
            one for one, every in wanted.items() if every and not self.saw_all_measured(one)
        )

    def measured(self, asked: NeedAsk, *, every: bool) -> tuple[PieceCard, ...]:
        """The measured pieces for a need: those that could come first, or every one."""
        own = self._own_measured(asked)
        if every and not self.saw_all_measured(asked):
            return tuple(_with(self._all_measured.of(asked).cards, own))
        return tuple(_with(self._few_measured.of(asked).cards, own))

    def saw_all_measured(self, asked: NeedAsk) -> bool:
        """Whether no more pieces were measured than those that could come first."""
        return self._few_measured.of(asked).whole

    def _kinds_of_sizes(self, asked: Sequence[SizeAsk]) -> list[list[KindSpec]]:
        declared = Declared(self.seats, self.shop.envelopes.of_kind)
        return kinds_of_sizes(self.session, declared, asked)


def _with(cards: Sequence[PieceCard], own: Sequence[PieceCard]) -> list[PieceCard]:
    """Some pieces, with those that are in hand as they are to be taken."""
    ids = {one.id for one in own}
    return [*(card for card in cards if card.id not in ids), *own]
