"""Filling a basket by net for each cent, and changing it as long as a small change pays."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Iterator, Sequence
from heapq import heapify, heappop, heappush
from itertools import chain, takewhile
from math import inf
from typing import TypeVar

from crib.trade.money.purchase_basket import Basket, Move
from crib.trade.money.purchase_reduced import Reduced

_ROUNDS = 20
_EXCHANGES, _TRIED_PAIRS = 200, 40
# Emptying offer by offer and filling again is work for a moment up to this many ways x offers.
_REFILLED_SIZE = 20_000

_Entry = tuple[float, Move, int]
_Step = TypeVar("_Step", int, Move)


class Filling:
    """Good purchases of a reduced problem; nothing about them is proven.

    When ``stopped`` says so the purchase is taken as it is then; it is never over the budget. The
    quick one leaves out the change that takes longest: each offer taken out, and all filled again.
    """

    def __init__(
        self,
        reduced: Reduced,
        stopped: Callable[[], bool] = lambda: False,
        *,
        is_quick: bool = False,
    ) -> None:
        self._reduced, self._stopped = reduced, stopped
        ways = sum(len(use.masks) for use in reduced.uses)
        size = (ways + 1) * len(reduced.offers)
        self._refills = not is_quick and size <= _REFILLED_SIZE

    def greedy(self) -> list[int]:
        """How often to buy each offer: filled from nothing, or thinned out from everything."""
        nothing = [0] * len(self._reduced.offers)
        everything = self.added(nothing, range(len(nothing)))
        starts = [self.filled_once(), self.improved(nothing), self.thinned(everything)]
        empty = Basket(self._reduced)
        fitting = [move for move in self.moves(empty) if empty.allows(move)]
        if fitting and not self._stopped():
            single = Basket(self._reduced)
            single.apply(max(fitting, key=empty.gain))
            starts.append(self.improved(single.times) if self._refills else single.times)
        return max(starts, key=self._reduced.rank)

    def filled_once(self) -> list[int]:
        """Each offer once if it pays by itself and fits; what there is when no time is left."""
        basket = Basket(self._reduced)
        moves = [move for number in range(len(basket.times)) for move in basket.moves_of(number)]
        for _rate, move, _seen in sorted(self._entry(basket, move, 0) for move in moves):
            if basket.allows(move) and basket.gain(move) > 0:
                basket.apply(move)
        return basket.times

    def added(self, times: Sequence[int], more: Iterable[int]) -> list[int]:
        """The least of more offers on top, as far as groups allow; maybe over the budget."""
        full = list(times)
        offers = self._reduced.offers
        taken = {offers[number].exclusive for number, n in enumerate(full) if n} - {""}
        for number in more:
            name = offers[number].exclusive
            if not full[number] and name not in taken:
                full[number] = offers[number].least
                taken |= {name} - {""}
        return full

    def improved(self, times: Sequence[int]) -> list[int]:
        """The purchase filled up, and changed in small steps until none pays."""
        basket = Basket(self._reduced, times)
        self._fill(basket)
        for _round in range(_ROUNDS):
            before = basket.net
            self._drop(basket)
            self._swap(basket)
            self._exchange(basket)
            if self._refills:
                basket = self._refilled(basket)
            if basket.net == before or self._stopped():
                break
            self._fill(basket)
        self._drop(basket)
        return basket.times

    def thinned(self, times: Sequence[int]) -> list[int]:
        """Too much, thinned out by the least loss for each cent, and improved from there."""
        basket = Basket(self._reduced, times)
        heap = [self._loss(basket, number) for number, n in enumerate(basket.times) if n]
        heapify(heap)
        while heap:
            if self._stopped() and not self._reduced.affords(basket.spent):
                return [0] * len(basket.times)
            loss, number = heappop(heap)
            if loss >= 0 and self._reduced.affords(basket.spent):
                break
            now = self._loss(basket, number)
            if heap and now > heap[0]:
                heappush(heap, now)
                continue
            basket.apply(((number, -basket.back_step(number)),))
            if basket.times[number]:
                heappush(heap, self._loss(basket, number))
        return self.improved(basket.times)

    def _loss(self, basket: Basket, number: int) -> tuple[float, int]:
        back = ((number, -basket.back_step(number)),)
        saved = -basket.price(back)
        return -basket.gain(back) / max(saved, 1), number

    def moves(self, basket: Basket) -> list[Move]:
        """Every move that could be worth a look, affordable or not."""
        return list(dict.fromkeys(self._moves(basket, range(len(self._reduced.margins)))))

    def _moves(self, basket: Basket, items: Iterable[int]) -> Iterator[Move]:
        """Moves about some items: their offers, and what completes the ways they are in."""
        items = list(items)
        offers = {number for item in items for number in self._reduced.offers_of[item]}
        singles = chain.from_iterable(basket.moves_of(number) for number in sorted(offers))
        masks = dict.fromkeys(
            mask & ~basket.there
            for use in basket.unserved(items)
            for mask in self._reduced.uses[use].masks
            if mask.bit_count() > 1
        )
        return chain(singles, chain.from_iterable(basket.moves_for(mask) for mask in masks))

    def _fill(self, basket: Basket) -> None:
        """Make the move with the most net for each cent until none is left that pays and fits."""
        step = 0
        heap = [self._entry(basket, move, step) for move in self._in_time(self.moves(basket))]
        heapify(heap)
        while heap and not self._stopped():
            rate, move, seen = heappop(heap)
            if rate >= 0 or not basket.allows(move):
                continue
            if seen != step:
                # What it brings may have changed since it was looked at.
                heappush(heap, self._entry(basket, move, step))
                continue
            basket.apply(move)
            step += 1
            for new in dict.fromkeys(self._moves(basket, self._items(move))):
                heappush(heap, self._entry(basket, new, step))

    def _in_time(self, steps: Sequence[_Step]) -> Iterator[_Step]:
        """The steps, as many as there is time for."""
        return takewhile(lambda _step: not self._stopped(), steps)

    def _entry(self, basket: Basket, move: Move, step: int) -> _Entry:
        gain, price = basket.gain(move), basket.price(move)
        rate = gain / price if price else inf if gain > 0 else float(min(gain, 0))
        return -rate, move, step

    def _items(self, move: Move) -> list[int]:
        contents = (self._reduced.offers[number].contents for number, _change in move)
        return sorted({item for content in contents for item, _quantity in content})

    def _drop(self, basket: Basket) -> None:
        """Take out what costs more than it brings."""
        for number in range(len(basket.times)):
            while back := basket.back_step(number):
                move = ((number, -back),)
                if (basket.gain(move), -basket.price(move)) <= (0, 0):
                    break
                basket.apply(move)

    def _swap(self, basket: Basket) -> None:
        """Buy another offer of the same items, or of the same group, where that nets more."""
        for number in self._in_time([number for number, n in enumerate(basket.times) if n]):
            moves = (self._instead(basket, number, other) for other in self._others(number))
            fitting = [
                move
                for move in moves
                if move and self._reduced.affords(basket.spent + basket.price(move))
            ]
            best = max(fitting, key=basket.gain, default=())
            if best and basket.gain(best) > 0:
                basket.apply(best)

    def _exchange(self, basket: Basket) -> None:
        """One offer out for the room of a move, as long as the two together net more."""
        for _round in range(_EXCHANGES):
            room = -1 if self._reduced.budget is None else self._reduced.budget - basket.spent
            pairs = heapq.nlargest(_TRIED_PAIRS, self._pairs(basket, room))
            trials = (self._joined(*pair[1:]) for pair in pairs)
            better = next((move for move in trials if move and basket.gain(move) > 0), None)
            if better is None or self._stopped():
                return
            basket.apply(better)

    def _pairs(self, basket: Basket, room: int) -> Iterator[tuple[int, Move, Move]]:
        """Moves out and in that seem to pay, were they not to do with each other."""
        outs = [
            (basket.gain(move), basket.price(move), move)
            for number in range(len(basket.times))
            if (back := basket.back_step(number))
            for move in [((number, -back),)]
        ]
        for move in self._in_time(self.moves(basket)):
            gain, price = basket.gain(move), basket.price(move)
            if gain > 0:
                for loss, saved, out in outs:
                    if gain + loss > 0 and (room < 0 or price + saved <= room):
                        yield gain + loss, out, move

    def _joined(self, out: Move, into: Move) -> Move:
        return () if {out[0][0]} & {number for number, _n in into} else tuple(sorted(out + into))

    def _others(self, number: int) -> list[int]:
        own = self._reduced.offers[number]
        near = {o for item, _q in own.contents for o in self._reduced.offers_of[item]}
        return sorted(near - {number})

    def _instead(self, basket: Basket, number: int, other: int) -> Move:
        """All purchases of an offer out, and as many pieces or the least of the other in."""
        own, new = self._reduced.offers[number], self._reduced.offers[other]
        times = basket.times[number]
        holder = basket.holder(new.exclusive)
        if basket.times[other] or holder not in (None, number):
            return ()
        pieces = times * sum(quantity for _item, quantity in own.contents)
        alike = -(-pieces // sum(quantity for _item, quantity in new.contents))
        return ((number, -times), (other, max(new.least, min(new.most, alike))))

    def _refilled(self, basket: Basket) -> Basket:
        """The best of: each offer taken out once, the rest filled again."""
        for number in self._in_time([number for number, n in enumerate(basket.times) if n]):
            trial = Basket(self._reduced, basket.times)
            trial.apply(((number, -trial.times[number]),))
            trial.shut = number
            self._fill(trial)
            self._drop(trial)
            trial.shut = None
            if trial.net > basket.net:
                return trial
        return basket
