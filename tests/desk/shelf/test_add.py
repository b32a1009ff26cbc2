"""New pieces: of a kind that is there, of one made on the way, and what is refused."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from crib.acts import act, acts_in, yes_to
from crib.desk.book.show import show_piece
from crib.desk.common.acting import stamp_for
from crib.desk.common.kinds import KindRequest
from crib.desk.shelf.add import NewPiece, add_piece, read_tag
from crib.errors import AskBack, BadQuantity, BadValue, CribError, Missing, Refused, UnknownName
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry, rebuild
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.rows import nothing_changes
from tests.shop import add_kind, small_shop

ROUND = KindRequest("punch", "round", "13/16", seat="A")
SLOT = KindRequest("punch", "obround", "13/16", "1-7/8", "A", "0")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def test_a_piece_of_a_known_kind_opens_with_its_strokes(shop: Session) -> None:
    new = NewPiece(
        "p-0150",
        "ROUND PUNCH 13/16  #0",
        place="a3",
        length="2.7",
        measured="0.81",
        strokes="4100",
        since_grind="900",
        wear="1500",
        bought="2026-01-02",
        price="41.50",
        dedicated="304",
        note="from the auction",
    )
    added = add_piece(shop, new, by="bench 2", now=datetime(2026, 2, 1, tzinfo=UTC))
    assert (added.tag, added.kind_is_new, added.place) == ("P-0150", False, "A3")
    report = show_piece(shop, "P-0150")
    piece = report.piece
    assert (piece.condition, piece.strokes_total, piece.strokes_edge) == ("sound", 4100, 900)
    assert (piece.wear, piece.dedicated_to, piece.bought_on) == (1500.0, "stainless", "2026-01-02")
    assert piece.measured_width_mm == pytest.approx(20.574)
    assert piece.length_mm == pytest.approx(68.58)
    assert report.price_cents == 4150
    assert report.entries[0].who == "bench 2"
    assert rebuild(shop) == []


def test_strokes_weigh_one_each_when_nobody_says_more(shop: Session) -> None:
    added = add_piece(shop, NewPiece("P-1", make=ROUND, strokes="400"))
    assert (added.strokes_since_grind, added.wear) == (400, 400.0)


@pytest.mark.parametrize("size", ["13/16", ".8125", "0.8125 in", "20.6375mm"])
def test_an_equal_kind_is_used_again_however_its_size_is_written(shop: Session, size: str) -> None:
    added = add_piece(shop, NewPiece("P-1", make=KindRequest("Punch", "ROUND", size, seat="a")))
    assert not added.kind_is_new
    assert piece_by_tag(shop, "P-1").kind_id == piece_by_tag(shop, "P-0137").kind_id


def test_a_new_kind_is_made_with_its_sizes_seat_and_key(shop: Session) -> None:
    added = add_piece(shop, NewPiece("P-1", make=SLOT))
    assert (added.kind, added.kind_is_new) == ("obround punch 13/16 x 1-7/8 seat A key 0", True)
    card = piece_by_tag(shop, "P-1")
    assert (card.shape, card.key_angles, card.seat) == ("obround", "0", "A")
    assert card.long_mm == pytest.approx(47.625)
    assert not add_piece(shop, NewPiece("P-2", make=SLOT)).kind_is_new


def test_a_rectangle_with_equal_sides_is_a_square(shop: Session) -> None:
    say = KindRequest("punch", "rectangle", "3/4", "0.75", seat="A", key="0")
    assert add_piece(shop, NewPiece("P-1", make=say)).kind == "square punch 3/4 seat A key 0"
    card = piece_by_tag(shop, "P-1")
    assert (card.shape, card.long_mm) == ("square", None)


def test_a_taken_name_of_a_kind_gets_a_number(shop: Session) -> None:
    add_kind(shop, role="punch", width="1/4", name="round punch 1/2 seat A")
    added = add_piece(shop, NewPiece("P-1", make=KindRequest("punch", "round", "1/2", seat="A")))
    assert added.kind == "round punch 1/2 seat A #2"


def test_kinds_that_differ_in_what_was_not_said_are_asked_about(shop: Session) -> None:
    for key in ("0", "90"):
        add_kind(
            shop, role="die", width="1/2", shape="square", seat_id=1, key_angles=key, name=f"k{key}"
        )
    with nothing_changes(shop), pytest.raises(AskBack, match="2 kinds are like that: 'k0', 'k90'"):
        add_piece(shop, NewPiece("D-1", make=KindRequest("die", "square", "1/2", seat="A")))
    said = KindRequest("die", "square", "1/2", seat="A", key="90°")
    assert add_piece(shop, NewPiece("D-1", make=said)).kind == "k90"


def test_a_tag_is_never_used_twice_not_even_after_the_piece_is_gone(shop: Session) -> None:
    entry = NewEntry("retire", 1, condition="retired", note="cracked")
    ledger.write(shop, stamp_for(shop, ""), [entry])
    with nothing_changes(shop), pytest.raises(Refused, match="tag P-0137 belongs to a retired"):
        add_piece(shop, NewPiece(" p-0137 ", make=ROUND))


def test_an_unknown_kind_lists_the_nearest_ones(shop: Session) -> None:
    with nothing_changes(shop), pytest.raises(UnknownName, match="no kind called") as caught:
        add_piece(shop, NewPiece("P-1", "round punch 13-16"))
    assert "round punch 13/16" in str(caught.value.way_out)


def test_an_odd_measured_size_is_asked_about(shop: Session) -> None:
    with nothing_changes(shop), pytest.raises(AskBack, match="off the nominal 13/16 in"):
        add_piece(shop, NewPiece("P-1", make=ROUND, measured="0.85"))
    assert add_piece(
        shop, NewPiece("P-1", make=ROUND, measured="0.85", confirmed=yes_to("odd-size"))
    ).entry


@pytest.mark.parametrize(
    ("new", "error", "said"),
    [
        (NewPiece("P 1", make=ROUND), BadValue, "tag 'P 1' must be"),
        (NewPiece("P,1", make=ROUND), BadValue, "tag 'P,1' must be"),
        (NewPiece("", make=ROUND), BadValue, "tag '' must be"),
        (NewPiece("P-1"), UnknownName, "no kind given"),
        (NewPiece("P-1", "round", ROUND), BadValue, "a kind by name and a kind by its sizes"),
        (NewPiece("P-1", make=ROUND, place="Z9"), UnknownName, "no place called 'Z9'"),
        (
            NewPiece("P-1", make=ROUND, place="ironworker 1/punch"),
            Refused,
            "Ironworker 1 / punch is a station",
        ),
        (NewPiece("P-1", make=ROUND, strokes="-4"), BadQuantity, "it has a sign"),
        (NewPiece("P-1", make=ROUND, strokes="4", since_grind="5"), BadValue, "must be at most 4"),
        (NewPiece("P-1", make=ROUND, wear="1.5"), BadQuantity, "not a whole number"),
        (NewPiece("P-1", make=ROUND, price="1,50"), BadQuantity, "a comma"),
        (NewPiece("P-1", make=ROUND, bought="2999-01-01"), BadValue, "is after today"),
        (NewPiece("P-1", make=ROUND, dedicated="cheese"), UnknownName, "no family of materials"),
        (NewPiece("P-1", make=ROUND, note="x" * 401), BadValue, "the note must be at most 400"),
        (NewPiece("P-1", make=ROUND, measured_long="2"), BadValue, "has no long side"),
        (NewPiece("P-1", make=KindRequest("", "round")), UnknownName, "no role ''; known: punch"),
        (NewPiece("P-1", make=KindRequest("punch", "oval")), UnknownName, "no shape 'oval'"),
        (NewPiece("P-1", make=KindRequest("punch")), Missing, "lacks shape, size, seat"),
        (
            NewPiece("P-1", make=KindRequest("die", "obround", "1", seat="A")),
            Missing,
            "obround: it has two sizes",
        ),
        (
            NewPiece("P-1", make=KindRequest("die", "round", "1", "2", "A")),
            BadValue,
            "a long side does not belong to a round",
        ),
        (
            NewPiece("P-1", make=KindRequest("die", "obround", "2", "1", "A")),
            BadValue,
            "must be at least the size",
        ),
        (
            NewPiece("P-1", make=KindRequest("die", "round", "1", seat="Z")),
            UnknownName,
            "no seat called 'Z'; known: A, B",
        ),
        (
            NewPiece("P-1", make=KindRequest("die", "square", "1", seat="A", key="in line")),
            BadValue,
            "must be angles from 0 to 359",
        ),
        (
            NewPiece("P-1", make=KindRequest("punch adapter")),
            BadValue,
            "an adapter has two seats",
        ),
    ],
)
def test_a_wrong_request_is_refused_and_changes_nothing(
    shop: Session, new: NewPiece, error: type[CribError], said: str
) -> None:
    with nothing_changes(shop), pytest.raises(error, match=said):
        add_piece(shop, new)


def test_a_tag_is_read_as_it_is_stamped() -> None:
    assert read_tag(" p-0137/b ") == "P-0137/B"
    with pytest.raises(BadValue, match="must be 1 to 40 letters"):
        read_tag("ß-1")


@pytest.mark.parametrize("role", ["set", "blade", "brake tool", "attachment"])
def test_a_tool_that_is_found_by_what_it_is_made_for_is_brought_in_with_its_kind(
    shop: Session, role: str
) -> None:
    made = KindRequest(role, "rectangle", "2", "3", seat="A")
    with nothing_changes(shop), pytest.raises(BadValue, match="what it is made for") as refused:
        add_piece(shop, NewPiece("P-1", make=made))
    assert acts_in(refused.value.way_out) == (act("import", file="kinds.csv"),)
