"""A request with a key is done once, from any door and by however many at once."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from pathlib import Path
from threading import Thread

import pytest

from crib.desk.common.once import KeyedRequest, once
from crib.desk.strokes.log import LogOptions, log_words
from crib.errors import AskBack, Refused
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from tests.shop import small_shop

pytestmark = pytest.mark.both_engines

ASKED = KeyedRequest("k-1", "log", "P-0137 40", "forty on P-0137")


def strokes(session: Session) -> int:
    return int(session.value("SELECT sum(strokes_total) FROM piece"))


def log(session: Session, count: int) -> str:
    """Count something; the answer is its act."""
    return log_words(session, ["P-0137", str(count)], LogOptions()).act


def test_the_first_answer_is_given_again(tmp_path: Path) -> None:
    with closing(small_shop(tmp_path / "shop.crib")) as session:
        first = once(session, ASKED, lambda: log(session, 40))
        assert once(session, ASKED, lambda: log(session, 40)) == first
        assert strokes(session) == 40
        kept = session.row("SELECT act, request FROM kept_key")
        assert kept is not None
        assert tuple(kept) == (first, "forty on P-0137")


@pytest.mark.parametrize("changed", [{"means": "P-0137 41"}, {"command": "grind"}])
def test_another_request_with_the_key_is_refused(tmp_path: Path, changed: dict[str, str]) -> None:
    with closing(small_shop(tmp_path / "shop.crib")) as session:
        once(session, ASKED, lambda: log(session, 40))
        with pytest.raises(Refused, match="key 'k-1' was used for 'forty on P-0137'"):
            once(session, replace(ASKED, **changed), lambda: log(session, 41))
        assert strokes(session) == 40


def test_an_error_leaves_nothing_and_frees_the_key(tmp_path: Path) -> None:
    with closing(small_shop(tmp_path / "shop.crib")) as session:
        with pytest.raises(AskBack):
            once(session, ASKED, lambda: log(session, 40) + log(session, 40))
        assert strokes(session) == 0
        once(session, ASKED, lambda: log(session, 40))
        assert strokes(session) == 40


@pytest.mark.parametrize("length", [10, 29_999, 30_001, 200_000])
def test_an_answer_of_any_length_is_given_again_and_fits_a_cell(
    tmp_path: Path, length: int
) -> None:
    with closing(small_shop(tmp_path / "shop.crib")) as session:
        answer = ("tag ✓ " * length)[:length]
        once(session, ASKED, lambda: answer)
        assert once(session, ASKED, lambda: "other") == answer
        assert session.value("SELECT length(answer) FROM kept_key") <= 32_767


def test_several_who_send_it_at_once_count_once(tmp_path: Path) -> None:
    shop = small_shop(tmp_path / "shop.crib")
    shop.close()
    answers: list[str] = []

    def send() -> None:
        with closing(open_crib(shop.place)) as session:
            answers.append(once(session, ASKED, lambda: log(session, 40)))

    threads = [Thread(target=send) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (len(answers), len(set(answers))) == (4, 1)
    with closing(open_crib(shop.place)) as session:
        assert strokes(session) == 40
