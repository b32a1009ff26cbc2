"""New tags go on as the shop's own do, and none is ever given twice."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.desk.common.kinds import KindRequest
from crib.desk.shelf.add import NewPiece, add_piece
from crib.desk.shelf.next_tags import NextTags
from crib.stock.queries.tags import meant_among
from tests.shop import small_shop


def pieces(role: str, *tags: str) -> list[tuple[str, str]]:
    return [(tag, role) for tag in tags]


@pytest.mark.parametrize(
    ("there", "following"),
    [
        (pieces("punch", "P-0137", "P-0155"), ["P-0156", "P-0157"]),
        (pieces("punch", "P-154", "P-155"), ["P-156", "P-157"]),
        (pieces("punch", "P-9"), ["P-10", "P-11"]),
        (pieces("punch", "11", "12"), ["13", "14"]),
        (pieces("punch", "T7", "T8", "T9"), ["T10", "T11"]),
        (pieces("punch", "T07", "T09"), ["T10", "T11"]),
        (pieces("punch", "P-098", "P-099"), ["P-100", "P-101"]),
        (pieces("punch", "RED", "BLUE"), ["P-0001", "P-0002"]),
        # The odd one out does not lead the rest.
        (pieces("punch", "P-1", "P-2", "LOAN-900"), ["P-3", "P-4"]),
        # Of two that are used alike the newer goes on.
        (pieces("punch", "OLD-7", "P-3"), ["P-4", "P-5"]),
        # One run of numbers for every tool is gone on with whatever the role.
        (pieces("punch", "1", "2") + pieces("die", "3", "4"), ["5", "6"]),
        (pieces("die", "3", "4") + pieces("blade", "9"), ["10", "11"]),
        # A role that is new takes its letter, written as the others are.
        (pieces("die", "D-12", "D-13"), ["P-1", "P-2"]),
        (pieces("die", "D012"), ["P001", "P002"]),
        # P155 is typed for P-155, so both count.
        (pieces("punch", "P-1", "P-2", "P155"), ["P-156", "P-157"]),
        ([], ["P-0001", "P-0002"]),
    ],
)
def test_the_next_tags_go_on_as_the_shops_own(
    there: list[tuple[str, str]], following: list[str]
) -> None:
    tags = NextTags(there)
    assert tags.take("punch", 1) + tags.take("punch", 1) == following


TAGS = st.from_regex(r"([A-Z]{1,2}[-./]?)?[0-9]{1,4}", fullmatch=True)
"""Tags that can be typed: one that began with a mark would be an option's name."""
ROLES = st.sampled_from(["punch", "die", "blade", "nut"])


@given(there=st.dictionaries(TAGS, ROLES, max_size=12), asked=st.lists(ROLES, max_size=6))
def test_no_tag_is_given_twice_nor_typed_like_another(
    there: dict[str, str], asked: list[str]
) -> None:
    following = NextTags(there.items())
    given_out = [tag for role in asked for tag in following.take(role, 2)]
    assert len({*there, *given_out}) == len(there) + 2 * len(asked)
    for tag in given_out:
        assert meant_among(tag.replace("-", ""), [*there, *given_out]) == tag


def test_a_piece_added_without_a_tag_gets_the_next_of_its_role(tmp_path: Path) -> None:
    with closing(small_shop(tmp_path / "shop.crib")) as shop:
        for role, tag in (("punch", "P-0141"), ("die", "D-0302"), ("punch", "P-0142")):
            make = KindRequest(role, "round", "1/2", "", "A", None)
            assert add_piece(shop, NewPiece(None, make=make)).tag == tag
