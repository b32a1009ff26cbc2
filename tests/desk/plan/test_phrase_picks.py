"""Of equally good answers the few pieces that make everything."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.desk.answer.rank import Candidate
from crib.desk.plan.phrase_picks import Option, fewest_pieces, tags_taken
from crib.features.common.tooling import Station, Tool, ToolingSet

STATION = Station(1, "M", "punch")


def option(tags: str, rank: int = 0, *, mounted: bool = False) -> Option:
    """A pick of one punch or a punch and its die, written like p-d."""
    tools = {
        role: Tool(role, "round", 20.0, 20.0, None, tag=tag, station_id=1 if mounted else None)
        for role, tag in zip(("punch", "die"), tags.split("-"), strict=False)
    }
    return Option(Candidate(ToolingSet(tools, STATION), (), {}, {}), rank)


def options(*words: str) -> list[Option]:
    """Picks in the order of their rank."""
    return [option(word, rank) for rank, word in enumerate(words)]


def chosen(some: Mapping[str, Sequence[Option]], *taken: str) -> dict[str, str]:
    """The tags that are chosen for each phrase."""
    return {
        phrase: "-".join(tool.tag for tool in one.candidate.tools)
        for phrase, one in fewest_pieces(some, taken).items()
    }


def test_one_pair_that_makes_both_beats_two_that_rank_first() -> None:
    both = {"a": options("p1-d1", "p3-d3"), "b": options("p2-d2", "p3-d3")}
    assert chosen(both) == {"a": "p3-d3", "b": "p3-d3"}


def test_one_punch_over_two_dies_beats_two_pairs() -> None:
    both = {"a": options("p1-d1"), "b": options("p2-d2", "p1-d2")}
    assert chosen(both) == {"a": "p1-d1", "b": "p1-d2"}


def test_where_nothing_is_saved_the_rank_decides() -> None:
    assert chosen({"a": options("p2-d2", "p1-d1")}) == {"a": "p2-d2"}


def test_what_stands_mounted_costs_nothing() -> None:
    some = [option("p1-d1", 0), option("p2-d2", 1, mounted=True)]
    assert chosen({"a": some}) == {"a": "p2-d2"}


@pytest.mark.parametrize(("taken", "wanted"), [((), "p1-d1"), (("d1",), "p2-d2")])
def test_what_works_elsewhere_is_left_where_something_else_will_do(
    taken: tuple[str, ...], wanted: str
) -> None:
    assert chosen({"a": options("p1-d1", "p2-d2")}, *taken) == {"a": wanted}


def test_what_works_elsewhere_is_taken_where_nothing_else_will() -> None:
    assert chosen({"a": options("p1-d1")}, "p1") == {"a": "p1-d1"}


PHRASES = st.dictionaries(
    st.sampled_from("abcdef"),
    st.lists(st.sampled_from("uvwxyz"), min_size=1, max_size=4, unique=True),
    min_size=1,
)


@given(PHRASES)
def test_it_never_takes_more_pieces_than_the_first_pick_of_each(some: dict[str, list[str]]) -> None:
    made = {phrase: options(*words) for phrase, words in some.items()}
    found = fewest_pieces(made)
    firsts = tags_taken(one[0] for one in made.values())
    assert found.keys() == made.keys()
    assert all(found[phrase] in made[phrase] for phrase in made)
    assert len(tags_taken(found.values())) <= len(firsts)


def test_an_option_in_two_pairs_counts_the_hits_of_each() -> None:
    tools = {"punch": option("p1").candidate.tools[0]}
    tools["second punch"] = replace(tools["punch"], tag="p2")
    one = Option(Candidate(ToolingSet(tools, STATION), (), {"hits": 1.0}, {}), 0)
    assert [pair.tags for pair in one.pairs] == [("p1",), ("p2",)]
