"""Keys through the whole chain: each seat holds one, and punch and die line up."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.features.common.findings import refusals
from crib.features.common.key_checks import key_findings, line_up_finding
from crib.features.common.key_words import key_way, key_ways, keyed_words
from crib.features.common.tooling import Adapter, Seat
from crib.trade.metal.key_angles import keys_that_line_up
from tests.features.bench import SEAT_A, mounted, shaped, tool

SHAPES = st.sampled_from(("round", "square", "rectangle", "hexagon", "obround"))
ANGLES = st.lists(st.sampled_from((0, 30, 45, 60, 90, 180)), max_size=3, unique=True).map(tuple)
HOLDS = Seat("B", 60.0, 9.0, 50.0, 52.0, 82.0, 80.0, 35.0, keyed=True)


def adapter(role: str, sits_in: Seat | None) -> Adapter:
    return Adapter(f"X-{role}", f"{role}_adapter", "B", "A", 4e5, "N1", sits_in, 12.0)


@given(SHAPES, ANGLES, ANGLES, st.tuples(*[st.booleans()] * 4), st.sets(st.sampled_from("pd")))
def test_a_pair_is_ok_just_where_it_is_round_or_every_seat_of_its_chain_holds_its_key(
    shape: str,
    punch_keys: tuple[int, ...],
    die_keys: tuple[int, ...],
    holding: tuple[bool, ...],
    adapted: set[str],
) -> None:
    of_punch, of_die, under_punch, under_die = holding
    punch = tool("punch", 20.0, shape=shape, key_angles=punch_keys)
    die = tool("die", 21.0, shape=shape, key_angles=die_keys)
    tooling = mounted(
        replace(punch, seat=replace(SEAT_A, keyed=of_punch)),
        replace(die, seat=replace(SEAT_A, keyed=of_die)),
        adapters={
            role: adapter(role, replace(HOLDS, keyed=held))
            for role, held in (("punch", under_punch), ("die", under_die))
            if role[0] in adapted
        },
    )
    chain = [of_punch, of_die, *([under_punch] if "p" in adapted else [])]
    chain += [under_die] if "d" in adapted else []
    held = all(chain) and bool(keys_that_line_up(shape, punch_keys, die_keys))
    assert (not refusals(key_findings(tooling))) == (shape == "round" or held)


def test_a_keyed_adapter_in_a_seat_without_a_key_turns_with_its_tool() -> None:
    pair = (shaped("punch", 20.0, 40.0), shaped("die", 21.0, 41.0))
    loose = adapter("die", replace(HOLDS, keyed=False))
    (found,) = refusals(key_findings(mounted(*pair, adapters={"die": loose})))
    assert found.text == (
        "adapter X-die sits in seat B, which holds no key: the shaped die could turn with it"
    )
    unknown = adapter("die", None)
    assert refusals(key_findings(mounted(*pair, adapters={"die": unknown})))


@pytest.mark.parametrize(
    ("shape", "punch", "die", "verdict", "text"),
    [
        ("square", (0,), (90,), "ok", "line up: a square is the same every 90°"),
        ("hexagon", (0,), (60,), "ok", "line up: a hexagon is the same every 60°"),
        ("obround", (0,), (0,), "ok", "punch and die keyed along (0°) the throat"),
        ("obround", (0,), (90,), "refuse", "punch keyed along (0°) the throat, die keyed across"),
        ("obround", (0,), (), "refuse", "die unkeyed: the shaped pair would not line up"),
    ],
)
def test_what_is_said_of_two_keys(
    shape: str, punch: tuple[int, ...], die: tuple[int, ...], verdict: str, text: str
) -> None:
    found = line_up_finding(
        tool("punch", 20.0, shape=shape, key_angles=punch),
        tool("die", 21.0, shape=shape, key_angles=die),
    )
    assert (found.verdict, found.final) == (verdict, verdict == "refuse")
    assert text in found.text


@pytest.mark.parametrize(
    ("shape", "angles", "ways", "words"),
    [
        ("obround", (0,), "along", "keyed along (0°) the throat"),
        ("obround", (0, 180), "along", "keyed along (0°) or along (180°) the throat"),
        ("rectangle", (90,), "across", "keyed across (90°) the throat"),
        ("rectangle", (0, 90), "along or across", "keyed along (0°) or across (90°) the throat"),
        ("rectangle", (45,), "45°", "keyed at 45° to the throat"),
        ("square", (0, 90), "0°", "keyed at 0° or at 90° to the throat"),
        ("hexagon", (90,), "30°", "keyed at 90° to the throat"),
        ("round", (0,), "", "keyed at 0° to the throat"),
        ("square", (), "", "unkeyed"),
    ],
)
def test_how_a_tool_is_keyed_is_said(
    shape: str, angles: tuple[int, ...], ways: str, words: str
) -> None:
    assert (key_ways(shape, angles), keyed_words(shape, angles)) == (ways, words)


def test_a_pair_along_and_one_across_never_read_alike() -> None:
    for shape in ("rectangle", "obround"):
        for words in (key_ways, keyed_words):
            assert len({words(shape, keys) for keys in ((0,), (90,), (0, 90), (45,))}) == 4
        assert key_way(shape, 0.0) != key_way(shape, 90.0)
