"""The audit itself: an answer that is right passes, and one with any one thing spoiled does not."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import replace
from typing import Any

import pytest

from crib.desk.answer.find import find
from tests.audit.asks import INCH, AuditAsk
from tests.audit.hidden import hidden_pairs
from tests.audit.run import pick_faults, said_of
from tests.audit.world import Row, World, read_world
from tests.demo_crib import demo_crib

Spoil = Callable[[Row, World], None]

HOLE = AuditAsk(
    "hole 13/16 thru 3/8 A36 edge 2 end 5",
    "punch",
    "A36",
    0.375 * INCH,
    {
        "shape": "round",
        "width": 13 / 16 * INCH,
        "long": 13 / 16 * INCH,
        "edge": (2 * INCH, False),
        "end": (5 * INCH, False),
    },
)
LOOSE = AuditAsk(
    "hole 0.8in +0.5mm -0mm thru 3/8 A36",
    "punch",
    "A36",
    0.375 * INCH,
    {"shape": "round", "width": 0.8 * INCH, "long": 0.8 * INCH, "plus": 0.5, "minus": 0.0},
)
REAMED = AuditAsk(
    "hole 22mm thru 3/8 A36 ream",
    "punch",
    "A36",
    0.375 * INCH,
    {"shape": "round", "width": 22.0, "long": 22.0, "ream": True},
)
SLOT = AuditAsk(
    "slot 13/16 x 1 thru 3/8 A36 across",
    "punch",
    "A36",
    0.375 * INCH,
    {"shape": "obround", "width": 13 / 16 * INCH, "long": INCH, "lying": "across"},
)
SEVERAL = AuditAsk(
    "slot 1 x 2-1/2 thru 1/4 A36",
    "punch",
    "A36",
    0.25 * INCH,
    {"shape": "obround", "width": INCH, "long": 2.5 * INCH},
)
NOTCH = AuditAsk(
    "notch 4 x 3 thru 1/4 A36",
    "set",
    "A36",
    0.25 * INCH,
    {"profile": "notch", "width": 4 * INCH, "depth": 3 * INCH},
)
CORNER = AuditAsk(
    "corner 6in x 5in thru 3/16 A36",
    "set",
    "A36",
    0.1875 * INCH,
    {"profile": "corner", "width": 6 * INCH, "depth": 5 * INCH},
)
CUT = AuditAsk(
    "cut flat 4in x 3/8 A36",
    "cut",
    "A36",
    0.375 * INCH,
    {"operation": "cut flat", "size": 4 * INCH, "thickness": 0.375 * INCH},
)
BEND = AuditAsk(
    "bend 6in x 1/4 at 90 flange 3in A36",
    "bend",
    "A36",
    0.25 * INCH,
    {"length": 6 * INCH, "flange": 3 * INCH},
)
SADDLE = AuditAsk(
    "saddle 1-1/2in pipe sch 40 A53-B",
    "saddle",
    "A53-B",
    0.145 * INCH,
    {"outside": 1.9 * INCH, "wall": 0.145 * INCH},
)
POINT = AuditAsk(
    "point 3/4 A36", "point", "A36", 0.75 * INCH, {"shape": "square", "width": 0.75 * INCH}
)
SQUARE = AuditAsk(
    "square 1/2 thru 1/4 A36",
    "punch",
    "A36",
    0.25 * INCH,
    {"shape": "square", "width": 0.5 * INCH, "long": 0.5 * INCH},
)
ASKS = (SQUARE, HOLE, LOOSE, REAMED, SLOT, SEVERAL, NOTCH, CORNER, CUT, BEND, SADDLE, POINT)


def of(role: str, **columns: Any) -> Spoil:
    """Change the piece of a role."""

    def spoil(pick: Row, world: World) -> None:
        tag = next(one["tag"] for one in pick["pieces"] if one["role"] == role)
        world.pieces[tag].update(columns)

    return spoil


def at(**columns: Any) -> Spoil:
    """Change the station."""

    def spoil(pick: Row, world: World) -> None:
        world.stations[(pick["machine"], pick["station"])].update(columns)

    return spoil


def unlisted(_pick: Row, world: World) -> None:
    """Prove everything for next to nothing."""
    for row in world.lists:
        row["thickness_mm"] = 0.1


def shallow(_pick: Row, world: World) -> None:
    """Prove notches for less than their depth."""
    for row in world.lists:
        row["depth_mm"] = 50.0


def far_over(pick: Row, world: World) -> None:
    """Rate the station for far less than a list proves that says no depth."""
    for row in world.lists:
        row["depth_mm"] = None
    at(rated_force_n=200_000.0)(pick, world)


def hits(**columns: Any) -> Spoil:
    """Change the last hit of the plan."""
    return lambda pick, _world: pick["plan"]["hits"][-1].update(columns)


SPOILED: list[tuple[AuditAsk, Spoil]] = [
    (SQUARE, of("punch", corner_radius_mm=3.0)),
    (SQUARE, of("die", corner_radius_mm=3.0)),
    (NOTCH, of("set", corner_radius_mm=3.0)),
    (CORNER, of("set", corner_radius_mm=3.0)),
    *((HOLE, of("punch", **{name: value})) for name, value in {
        "condition": "inspect", "place_sort": "grinder", "dedicated_to": "stainless",
        "length_mm": 20.0, "measured_width_mm": 20.4, "shape": "square", "seat": "C",
        "stress_limit_mpa": 300.0, "rated_force_n": 100_000.0,
    }.items()),
    *((HOLE, of("die", **{name: value})) for name, value in {
        "condition": "locked", "measured_width_mm": 20.6, "die_diameter_mm": 30.0,
        "shape": "obround",
    }.items()),
    *((HOLE, at(**{name: value})) for name, value in {
        "in_service": 0, "rated_force_n": None, "derate": 0.6, "throat_mm": 50.0,
        "daylight_mm": 9.0,
    }.items()),
    (HOLE, of("punch", body_diameter_mm=20.0, nut_bore_mm=20.0)),
    (HOLE, at(throat_mm=None)),
    (HOLE, of("punch", length_mm=60.0)),
    (HOLE, of("die", length_mm=33.0)),
    (HOLE, at(daylight_mm=103.0, stroke_mm=8.0)),
    (HOLE, of("die", seat="B", die_height_mm=34.925)),
    (HOLE, at(rated_force_n=250_000.0)),
    (HOLE, at(rated_force_n=271_500.0, derate=0.0)),
    (HOLE, of("punch", stress_limit_mpa=800.0)),
    (LOOSE, of("punch", measured_width_mm=20.3)),
    (LOOSE, of("punch", measured_width_mm=20.83)),
    (REAMED, of("punch", measured_width_mm=21.7)),
    (REAMED, of("punch", measured_width_mm=15.4)),
    (REAMED, of("die", measured_width_mm=21.7)),
    (SLOT, of("punch", key_angles="0")),
    (SLOT, of("die", key_angles="45")),
    (SLOT, of("die", keyed=0)),
    (SLOT, of("die", measured_long_mm=25.0)),
    (SEVERAL, hits(x_mm=3.0)),
    (SEVERAL, hits(y_mm=1.0)),
    (SEVERAL, hits(bite=0.99)),
    (SEVERAL, of("second punch", measured_long_mm=27.0)),
    (SEVERAL, of("punch", measured_width_mm=25.3)),
    (CORNER, of("set", width_mm=152.4, depth_mm=152.4)),
    (CORNER, of("set", depth_mm=90.0)),
    (CORNER, unlisted),
    (NOTCH, unlisted),
    (NOTCH, of("set", depth_mm=20.0)),
    (NOTCH, shallow),
    (NOTCH, far_over),
    (NOTCH, of("set", condition="broken")),
    (CUT, unlisted),
    (CUT, of("blade", work_length_mm=50.0)),
    (BEND, unlisted),
    (BEND, of("brake_tool", width_mm=25.0)),
    (BEND, of("brake_tool", width_mm=52.0)),
    (BEND, of("brake_tool", work_length_mm=100.0)),
    (BEND, of("brake_tool", line_limit_n_mm=100.0)),
    (BEND, at(rated_force_n=10_000.0)),
    (SADDLE, of("set", header_mm=60.0)),
    (SADDLE, of("set", most_wall_mm=3.0)),
    (SADDLE, at(rated_force_n=1_000.0)),
    (POINT, of("set", width_mm=18.0)),
    (POINT, unlisted),
]  # fmt: skip


@pytest.fixture(scope="module")
def answers(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, tuple[Row, World]]]:
    """The first pick for each ask, and the crib that it is from."""
    session = demo_crib(tmp_path_factory.mktemp("audit") / "demo.crib")
    world = read_world(session)
    found = {ask.phrase: find(session, ask.phrase, record=False) for ask in ASKS}
    yield {phrase: (said_of(one.picks[0]), world) for phrase, one in found.items()}
    session.close()


@pytest.mark.parametrize("ask", ASKS, ids=lambda ask: ask.phrase)
def test_a_right_answer_has_nothing_wrong(
    answers: dict[str, tuple[Row, World]], ask: AuditAsk
) -> None:
    pick, world = answers[ask.phrase]
    assert list(pick_faults(ask, pick, world, "in")) == []


@pytest.mark.parametrize(("ask", "spoil"), SPOILED)
def test_an_answer_with_one_thing_spoiled_is_seen(
    answers: dict[str, tuple[Row, World]], ask: AuditAsk, spoil: Spoil
) -> None:
    pick, world = deepcopy(answers[ask.phrase])
    spoil(pick, world)
    assert list(pick_faults(ask, pick, world, "in")) != []


@pytest.mark.parametrize(
    ("ask", "name", "value"),
    [
        (HOLE, "width", 20.0),
        (HOLE, "edge", (15.0, False)),
        (HOLE, "end", (15.0, False)),
        (SEVERAL, "long", 60.0),
        (NOTCH, "width", 150.0),
        (CUT, "size", 400.0),
        (BEND, "flange", 20.0),
        (BEND, "length", 400.0),
        (SADDLE, "outside", 42.0),
        (POINT, "width", 16.0),
    ],
)
def test_an_answer_to_something_else_is_seen(
    answers: dict[str, tuple[Row, World]], ask: AuditAsk, name: str, value: Any
) -> None:
    pick, world = answers[ask.phrase]
    other = AuditAsk(
        ask.phrase, ask.sort, ask.material, ask.thickness_mm, {**ask.sizes, name: value}
    )
    assert list(pick_faults(other, pick, world, "in")) != []


def test_a_pair_that_was_not_found_is_seen(answers: dict[str, tuple[Row, World]]) -> None:
    """The pair of a hole that is served lies there; for a hole too thin to punch none does."""
    _pick, world = answers[HOLE.phrase]
    assert list(hidden_pairs(HOLE, world, "in")) != []
    thin = replace(HOLE, sizes={**HOLE.sizes, "width": 5 / 16 * INCH, "long": 5 / 16 * INCH})
    assert list(hidden_pairs(thin, world, "in")) == []


@pytest.mark.parametrize("ask", [HOLE, SLOT, NOTCH, CUT, BEND, POINT], ids=lambda ask: ask.phrase)
def test_an_answer_for_a_stronger_or_thicker_plate_is_seen(
    answers: dict[str, tuple[Row, World]], ask: AuditAsk
) -> None:
    pick, world = answers[ask.phrase]
    for material, thickness_mm in (("AR400", ask.thickness_mm), (ask.material, 40.0)):
        sizes = {**ask.sizes, "thickness": thickness_mm}
        other = AuditAsk(ask.phrase, ask.sort, material, thickness_mm, sizes)
        assert list(pick_faults(other, pick, world, "in")) != []
