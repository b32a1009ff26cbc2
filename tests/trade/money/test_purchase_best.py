"""The best use of a budget, against every purchase tried one after another."""

from __future__ import annotations

import random
import subprocess
import sys
from dataclasses import replace
from itertools import chain, count, repeat

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.money.purchase import Offer, Purchase, PurchaseProblem, Stock, Use, counted_purchase
from crib.trade.money.purchase_best import best_purchase
from crib.trade.money.purchase_greedy import greedy_purchase
from crib.trade.money.purchase_plain import plain_purchase
from tests.house import ROOT
from tests.trade.purchase_drawn import (
    Tried,
    as_tried,
    drawn_problem,
    every_purchase_tried,
)

_SEEDS = st.integers(min_value=0, max_value=2**32)
_FEW = settings(max_examples=40, deadline=None)


def use(value: int, *ways: str) -> Use:
    """A use from ways written as the letters of their items."""
    return Use(value, tuple(frozenset(way) for way in ways))


def offer(letters: str, price: int, most: int = 1, charge: int | None = None) -> Offer:
    """An offer of one of each letter, known by the letters."""
    contents = tuple((letter, 1) for letter in letters)
    return Offer(letters, contents, price, most=most, charge_cents=charge)


def problem_of(uses: list[Use], offers: list[Offer], *stocks: Stock) -> PurchaseProblem:
    return PurchaseProblem(tuple(uses), stocks, tuple(offers))


def check_against_every_purchase(problem: PurchaseProblem, budget: int | None) -> Purchase:
    """The answer is the best one there is, also among its equals, and says so."""
    best = best_purchase(problem, budget)
    counted = as_tried(problem, best.bought)
    assert counted == every_purchase_tried(problem, budget)
    assert (best.net_cents, best.spent_cents) == (counted.net, counted.spent)
    assert best.proven
    assert best.gap == 0.0
    return best


@pytest.mark.parametrize("seed", range(60))
def test_the_answer_is_the_best_of_all_purchases(seed: int) -> None:
    problem, budget = drawn_problem(random.Random(seed))
    check_against_every_purchase(problem, budget)


@pytest.mark.parametrize("seed", range(100, 200))
def test_the_solver_finds_it_too_where_it_is_not_needed(
    monkeypatch: pytest.MonkeyPatch, seed: int
) -> None:
    monkeypatch.setattr("crib.trade.money.purchase_plain._FEW", 1)
    check_against_every_purchase(*drawn_problem(random.Random(seed)))


@pytest.mark.parametrize("seed", range(4))
def test_the_answer_is_the_best_of_all_purchases_from_fourteen_offers(seed: int) -> None:
    draws = random.Random(1000 + seed)
    while True:
        problem, budget = drawn_problem(draws, 14)
        ways = 1
        for one in problem.offers:
            ways *= one.most - one.least + 2
        if len(problem.offers) == 14 and ways <= 100_000 and budget is not None:
            break
    check_against_every_purchase(problem, budget)


@_FEW
@given(_SEEDS)
def test_the_answer_is_the_best_whatever_is_drawn(seed: int) -> None:
    problem, budget = drawn_problem(random.Random(seed), 6)
    check_against_every_purchase(problem, budget)


@_FEW
@given(_SEEDS)
def test_the_best_is_never_below_the_greedy_and_neither_is_over_the_budget(seed: int) -> None:
    problem, budget = drawn_problem(random.Random(seed), 14)
    greedy, best = greedy_purchase(problem, budget), best_purchase(problem, budget)
    assert best.bound_cents is not None
    assert 0 <= greedy.net_cents <= best.net_cents <= best.bound_cents
    if budget is not None:
        assert max(greedy.spent_cents, best.spent_cents) <= budget


@_FEW
@given(_SEEDS, st.integers(min_value=0, max_value=100))
def test_more_money_never_nets_less(seed: int, more: int) -> None:
    problem, budget = drawn_problem(random.Random(seed), 10)
    if budget is not None:
        less = best_purchase(problem, budget).net_cents
        assert less <= best_purchase(problem, budget + more).net_cents
        assert less <= best_purchase(problem, None).net_cents


@_FEW
@given(_SEEDS)
def test_an_offer_that_is_not_bought_can_go_and_nothing_changes(seed: int) -> None:
    draws = random.Random(seed)
    problem, budget = drawn_problem(draws, 9)
    best = best_purchase(problem, budget)
    left_out = [one for one in problem.offers if one.key not in best.bought]
    if left_out:
        gone = draws.choice(left_out)
        offers = tuple(one for one in problem.offers if one != gone)
        without = best_purchase(replace(problem, offers=offers), budget)
        assert without.bought == best.bought
        assert without.net_cents == best.net_cents


@_FEW
@given(_SEEDS, st.integers(min_value=1, max_value=60), st.booleans())
def test_a_dearer_offer_is_never_added(seed: int, rise: int, charged: bool) -> None:
    draws = random.Random(seed)
    problem, budget = drawn_problem(draws, 9)
    one = draws.choice(problem.offers)
    charge = one.net_charge_cents + (rise if charged else 0)
    dearer = replace(one, price_cents=one.price_cents + rise, charge_cents=charge)
    offers = tuple(dearer if other == one else other for other in problem.offers)
    before = best_purchase(problem, budget).bought.get(one.key, 0)
    after = best_purchase(replace(problem, offers=offers), budget).bought.get(one.key, 0)
    if budget is None or before == 0:
        # With a budget, a rise may push something dear out and leave room for more of the same.
        assert after <= before


def test_a_rise_may_leave_room_for_more_of_the_same_when_the_budget_is_tight() -> None:
    spares = Stock("a", (100, 90, 80))
    uses = [use(175, "b")]

    def bought(price: int) -> dict[str | int, int]:
        offers = [offer("a", price, most=3, charge=0), offer("b", 20, charge=0)]
        return dict(best_purchase(problem_of(uses, offers, spares), 30).bought)

    assert bought(10) == {"a": 1, "b": 1}
    assert bought(15) == {"a": 2}


def test_a_pair_is_bought_whole_or_not_at_all() -> None:
    problem = problem_of([use(100, "pd")], [offer("p", 40), offer("d", 50)])
    assert best_purchase(problem, 90).bought == {"p": 1, "d": 1}
    assert best_purchase(problem, 89).bought == {}


def test_one_die_under_two_punches_is_bought_once() -> None:
    uses = [use(60, "pd"), use(60, "qd")]
    problem = problem_of(uses, [offer("p", 30), offer("q", 30), offer("d", 50)])
    best = check_against_every_purchase(problem, 110)
    assert best.bought == {"p": 1, "q": 1, "d": 1}
    assert best.served == {0: frozenset("pd"), 1: frozenset("qd")}


def test_a_bundle_is_worth_only_what_it_serves() -> None:
    bundle = Offer("set", tuple((letter, 2) for letter in "abcxyz"), 90)
    singles = [offer("a", 40), offer("b", 40), offer("c", 40)]
    uses = [use(80, "a"), use(80, "b"), use(80, "c")]
    best = check_against_every_purchase(problem_of(uses, [*singles, bundle]), 200)
    assert best.bought == {"set": 1}
    assert best.useful == {"set": (3, 12)}


def test_spare_units_add_to_what_is_useful_in_a_bundle() -> None:
    bundle = Offer("set", (("a", 2), ("x", 2)), 50)
    best = best_purchase(problem_of([use(80, "a")], [bundle], Stock("a", (9, 5, 0))), 50)
    assert best.useful == {"set": (2, 4)}
    assert best.value_cents == 94


@pytest.mark.parametrize(
    ("offers", "expected"),
    [
        pytest.param([("a", 30), ("b", 20)], {"b": 1}, id="the cheaper one for the same net"),
        pytest.param([("b", 20), ("a", 20)], {"b": 1}, id="the earlier one for the same price"),
        pytest.param([("a", 20), ("b", 20)], {"a": 1}, id="and so the other way round"),
    ],
)
def test_equals_are_told_apart(offers: list[tuple[str, int]], expected: dict[str, int]) -> None:
    made = [Offer(key, (("item", 1),), price, charge_cents=10) for key, price in offers]
    uses = [Use(50, (frozenset({"item"}),)), use(70, "c")]
    problem = problem_of(uses, [*made, offer("c", 60)])
    assert best_purchase(problem, 59).bought == expected


def test_fewer_purchases_are_made_for_the_same_net_and_money() -> None:
    offers = [offer("a", 10), offer("b", 10), offer("ab", 20), offer("c", 25)]
    problem = problem_of([use(50, "ab"), use(30, "c")], offers)
    assert check_against_every_purchase(problem, 30).bought == {"ab": 1}


def test_a_price_break_is_taken_only_alone() -> None:
    one = Offer("one", (("a", 1),), 10, 1, 4, "a")
    five = Offer("five", (("a", 1),), 7, 3, 9, "a")
    problem = problem_of([], [one, five], Stock("a", (20, 12, 9, 8)))
    assert check_against_every_purchase(problem, 20).bought == {"one": 2}
    assert check_against_every_purchase(problem, 30).bought == {"five": 4}


def test_numbers_far_apart_stay_exact() -> None:
    offers = [offer("a", 99_999_999), offer("b", 1), offer("c", 100_000_000)]
    uses = [use(300_000_001, "a"), use(3, "b"), use(300_000_003, "c")]
    check_against_every_purchase(problem_of(uses, offers), 100_000_000)
    check_against_every_purchase(problem_of(uses, offers), 99_999_999)


def test_no_time_left_gives_what_pays_one_by_one_and_no_bound() -> None:
    problem, budget = crossed()
    ticks = chain([0.0, 0.0], repeat(1e9))
    best = best_purchase(problem, budget, seconds=1.0, clock=lambda: next(ticks))
    assert best.bought == {"p": 1, "e": 1}
    assert (best.bound_cents, best.gap, best.proven) == (None, None, False)


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("large", [False, True])
def test_time_may_run_out_at_any_moment(
    monkeypatch: pytest.MonkeyPatch, seed: int, large: bool
) -> None:
    """What was found by then is sound, no claim is false, and the clock is soon heeded."""
    if large:
        monkeypatch.setattr("crib.trade.money.purchase_model.LARGE_SIZE", 0)
    monkeypatch.setattr("crib.trade.money.purchase_plain._FEW", 1)
    draws = random.Random(seed)
    problem, budget = drawn_problem(draws, 8)
    asked = draws.randint(2, 300)
    ticks = chain(repeat(0.0, asked), count(1e9))
    best = best_purchase(problem, budget, seconds=1.0, clock=lambda: next(ticks))
    most = every_purchase_tried(problem, budget).net
    assert as_tried(problem, best.bought).net == best.net_cents <= most
    assert budget is None or best.spent_cents <= budget
    assert best.bound_cents is None or best.bound_cents >= most
    assert next(ticks) - 1e9 <= 60


def crossed() -> tuple[PurchaseProblem, int]:
    """A problem whose budget binds."""
    uses = [use(90, "pd"), use(90, "qd", "pe"), use(45, "e")]
    offers = [offer("p", 30), offer("q", 30), offer("d", 50), offer("e", 40), offer("pde", 100)]
    return problem_of(uses, offers), 95


def test_a_gap_is_allowed_for_and_told() -> None:
    problem, budget = crossed()
    best = best_purchase(problem, budget, gap=0.5)
    assert best.bound_cents is not None
    assert best.bound_cents >= every_purchase_tried(problem, budget).net
    assert best.gap is not None
    assert best.gap <= 0.5


def test_a_large_problem_starts_from_the_relaxed_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("crib.trade.money.purchase_model.LARGE_SIZE", 0)
    monkeypatch.setattr("crib.trade.money.purchase_plain._FEW", 1)
    for seed in range(20):
        check_against_every_purchase(*drawn_problem(random.Random(seed), 7))


@pytest.mark.parametrize("seed", range(40))
def test_what_needs_no_solver_is_the_best_too(seed: int) -> None:
    problem, budget = drawn_problem(random.Random(seed), 4)
    plain = plain_purchase(problem, budget)
    if plain is not None:
        assert as_tried(problem, plain.bought) == every_purchase_tried(problem, budget)
        assert plain.proven


def test_a_budget_that_binds_needs_the_solver() -> None:
    assert plain_purchase(*crossed()) is None


def test_too_many_choices_at_once_need_the_solver() -> None:
    uses = [use(50, "abcdefghi")]
    problem = problem_of(uses, [offer(letter, 1) for letter in "abcdefghi"])
    assert plain_purchase(problem, None) is None
    assert plain_purchase(replace(problem, uses=()), None) is not None


@pytest.mark.parametrize(
    "offers",
    [
        pytest.param("[]", id="no offer"),
        pytest.param("[Offer('a', (('a', 1),), 900)]", id="no offer that pays"),
        pytest.param("[Offer('a', (('a', 1),), 9), Offer('b', (('b', 1),), 9)]", id="enough money"),
    ],
)
def test_the_solver_stays_away_when_there_is_nothing_to_choose(offers: str) -> None:
    script = (
        "import sys\n"
        "from crib.trade.money.purchase import Offer, PurchaseProblem, Use\n"
        "from crib.trade.money.purchase_best import best_purchase\n"
        "uses = (Use(50, (frozenset({'a'}),)), Use(50, (frozenset({'b'}),)))\n"
        f"best = best_purchase(PurchaseProblem(uses, (), tuple({offers})), 100)\n"
        "print(best.proven, 'highspy' in sys.modules, 'numpy' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.stderr == ""
    assert done.stdout.split() == ["True", "False", "False"]


def test_the_solver_says_nothing_by_itself() -> None:
    script = (
        "import sys\n"
        "from tests.trade.money.test_purchase_best import crossed\n"
        "from crib.trade.money.purchase_best import best_purchase\n"
        "best_purchase(*crossed())\n"
        "print('highspy' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert (done.stdout.split(), done.stderr) == (["True"], "")


@pytest.mark.parametrize(
    ("more", "text"),
    [
        ({"seconds": 0.0}, "seconds=0 must be > 0"),
        ({"gap": -0.1}, "gap=-0.1 must be >= 0"),
    ],
)
def test_an_impossible_search_is_refused(more: dict[str, float], text: str) -> None:
    problem = problem_of([], [])
    with pytest.raises(BadValue, match=text):
        best_purchase(problem, 100, **more)  # type: ignore[arg-type]


def test_a_budget_below_nothing_is_refused() -> None:
    problem = problem_of([], [])
    with pytest.raises(BadValue, match="budget_cents=-1 must be >= 0"):
        best_purchase(problem, -1)
    with pytest.raises(BadValue, match="budget_cents=-1 must be >= 0"):
        greedy_purchase(problem, -1)


def test_trying_every_purchase_counts_as_the_program_does() -> None:
    draws = random.Random(5)
    for _case in range(50):
        problem, _budget = drawn_problem(draws)
        best = every_purchase_tried(problem, None)
        pairs = zip(problem.offers, best.times, strict=True)
        counted = counted_purchase(problem, {one.key: n for one, n in pairs if n})
        assert Tried(counted.net_cents, counted.spent_cents, best.times) == best
