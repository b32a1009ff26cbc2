"""A tag is meant as it is said: with or without its signs, its zeros, its letters."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import AskBack, UnknownName, UnsureName
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag, pieces_meant, pieces_named
from crib.stock.queries.tags import meant_among, tag_meant, with_joined_tags
from tests.shop import add_piece, new_crib, small_shop

TAGS = ("P-120", "D-120", "P-0137", "P-137", "K-26-1", "B2", "304", "D-0201", "NS-7")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    kind = piece_by_tag(session, "P-0137").kind_id
    for tag in TAGS:
        if tag not in ("P-0137", "D-0201"):
            add_piece(session, tag, kind)
    yield session
    session.close()


@pytest.mark.parametrize(
    ("typed", "tag"),
    [
        ("P-120", "P-120"),
        ("p-120", "P-120"),
        ("P120", "P-120"),
        ("p 120", "P-120"),
        ("P_0120", "P-120"),
        ("P.120", "P-120"),
        ("P-0137", "P-0137"),
        ("P-137", "P-137"),
        ("201", "D-0201"),
        ("0201", "D-0201"),
        ("d201", "D-0201"),
        ("k26-1", "K-26-1"),
        ("K 26 1", "K-26-1"),
        ("b-2", "B2"),
        ("304", "304"),
        ("7", "NS-7"),
        ("ns7", "NS-7"),
    ],
)
def test_a_tag_is_meant_as_it_is_said(shop: Session, typed: str, tag: str) -> None:
    assert tag_meant(shop, typed) == tag
    assert piece_by_tag(shop, typed).tag == tag


@pytest.mark.parametrize(
    ("typed", "tags"),
    [("120", ("D-120", "P-120")), ("P137", ("P-0137", "P-137")), ("p00137", ("P-0137", "P-137"))],
)
def test_a_tag_that_may_be_several_is_asked_back_with_each(
    shop: Session, typed: str, tags: tuple[str, ...]
) -> None:
    with pytest.raises(UnsureName, match="may be one of several") as caught:
        piece_by_tag(shop, typed)
    assert caught.value.readings == tags
    assert isinstance(caught.value, AskBack)


@pytest.mark.parametrize(
    "typed",
    ["P-12", "P", "26", "1", "26-1", "P#120", "P-120 banana", "banana", "", " ", "%", "P%", "_120"],
)
def test_what_is_no_tag_is_not_found(shop: Session, typed: str) -> None:
    with pytest.raises(UnknownName, match="no piece with tag"):
        piece_by_tag(shop, typed)


def test_two_words_are_one_tag_only_where_there_is_one(shop: Session) -> None:
    assert with_joined_tags(shop, ["p", "120", "D-0201"]) == ["P-120", "D-0201"]
    assert with_joined_tags(shop, ["p", "999", "ns", "7"]) == ["p", "999", "NS-7"]
    assert [card.tag for card in pieces_named(shop, ["p", "120", "P-120", "201"])] == [
        "P-120",
        "D-0201",
    ]
    with pytest.raises(UnsureName):
        with_joined_tags(shop, ["p", "137"])


def test_what_several_may_be_meant_by_is_asked_and_what_none_is_left_out(shop: Session) -> None:
    found = pieces_meant(shop, ["p120", "P-0137", "P-9999"])
    assert {typed: card.tag for typed, card in found.items()} == {
        "p120": "P-120",
        "P-0137": "P-0137",
    }
    with pytest.raises(UnsureName):
        pieces_meant(shop, ["120"])


def test_every_tag_means_itself(tmp_path: Path) -> None:
    session = new_crib(tmp_path / "empty.crib")
    with pytest.raises(UnknownName, match="no piece with tag 'P-1'"):
        tag_meant(session, "P-1")
    session.close()


PARTS = st.lists(st.sampled_from(["P", "D", "1", "01", "12", "-", ".", "K"]), min_size=1)
SOME = st.lists(PARTS.map("".join), min_size=1, max_size=8, unique=True)


@given(tags=SOME, typed=PARTS.map("".join))
def test_a_tag_typed_exactly_is_that_one_and_no_other_is_ever_taken(
    tags: list[str], typed: str
) -> None:
    for tag in tags:
        assert meant_among(tag.lower(), tags) == tag
    found = None
    with suppress(UnsureName):
        found = meant_among(typed, tags)
    if found is not None:
        figures = "".join(sign for sign in found if sign.isdecimal()).replace("0", "")
        assert "".join(sign for sign in typed if sign.isdecimal()).replace("0", "") == figures
