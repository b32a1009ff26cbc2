"""A new kind has every figure of its specification, and its list of proven sizes."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.features.common.tool_spec import ToolSpec
from crib.features.common.tooling import EnvelopeRow
from crib.stock.queries.kind_specs import spec_of_kind
from crib.stock.queries.stations import seats_by_name
from crib.stock.writers.kinds import add_kind
from crib.words import FACES, PROFILES, ROLES, SHAPES
from tests.desk.every_work import bare_shop

FIGURES = st.none() | st.floats(1.0, 500.0)
WALLS = st.none() | st.floats(1.0, 190.0)
POINTS = st.builds(
    EnvelopeRow,
    st.sampled_from(("notch", "vee", "bend")),
    st.sampled_from((0.0, 45.0)),
    st.floats(1.0, 500.0),
    st.floats(1.0, 25.0),
    st.sampled_from(("A36", "S275")),
)
PLAIN = (
    "depth_mm",
    "work_length_mm",
    "line_limit_n_mm",
    "rated_force_n",
    "added_height_mm",
    "length_mm",
)
SINGLE = tuple(role for role in ROLES if "adapter" not in role)


@st.composite
def designs(draw: st.DrawFn) -> ToolSpec:
    """A tool of any sort as its record allows it, in seat A."""
    width_mm, least_mm = draw(st.floats(1.0, 500.0)), draw(WALLS)
    more = draw(st.floats(0.0, 9.0))
    figures: dict[str, Any] = {name: draw(FIGURES) for name in PLAIN}
    return ToolSpec(
        draw(st.sampled_from(SINGLE)),
        shape=draw(st.sampled_from(SHAPES)),
        width_mm=width_mm,
        long_mm=draw(st.sampled_from((None, width_mm + 1.0, width_mm + 40.0))),
        profile=draw(st.sampled_from(("", *PROFILES))),
        angle_deg=draw(st.none() | st.floats(1.0, 180.0)),
        header_mm=draw(st.sampled_from((None, width_mm, width_mm + more))),
        least_wall_mm=least_mm,
        most_wall_mm=draw(WALLS) if least_mm is None else least_mm + more,
        envelope=tuple(draw(st.lists(POINTS, max_size=2, unique=True))),
        edges=draw(st.sampled_from((1, 2, 4))),
        key_angles=draw(st.sampled_from(((), (0,), (0, 90), (45, 135)))),
        face=draw(st.sampled_from(FACES)),
        bevel_mm=draw(st.none() | st.floats(1.0, 25.0)),
        seat_name="A",
        presents_seat=draw(st.sampled_from(("", "A"))),
        **figures,
    )


def test_a_kind_has_every_figure_of_its_specification(tmp_path: Path) -> None:
    numbers = count()
    with closing(bare_shop(tmp_path / "bare.crib")) as shop:
        seat = seats_by_name(shop)["A"]

        @settings(deadline=None)
        @given(designs())
        def check(spec: ToolSpec) -> None:
            with shop.writing():
                kind_id = add_kind(shop, f"kind {next(numbers)}", spec)
            kept = spec_of_kind(shop, kind_id)
            usual_mm = seat.punch_length_mm if spec.role == "punch" else None
            assert set(kept.envelope) == set(spec.envelope)
            assert replace(kept, envelope=()) == replace(
                spec,
                envelope=(),
                seat_numbers=seat.numbers(spec.role, spec.profile),
                length_mm=spec.length_mm or usual_mm,
            )

        check()


@pytest.mark.parametrize(
    ("spec", "long_mm"),
    [
        (ToolSpec("punch", shape="round", width_mm=20.0, long_mm=20.0), None),
        (ToolSpec("punch", shape="rectangle", width_mm=20.0, long_mm=20.0), 20.0),
        (ToolSpec("set", shape="rectangle", width_mm=20.0, long_mm=20.0), None),
        (ToolSpec("set", shape="rectangle", width_mm=20.0, long_mm=25.0), 25.0),
        (ToolSpec("blade"), None),
    ],
)
def test_a_long_side_is_kept_where_there_is_one(
    tmp_path: Path, spec: ToolSpec, long_mm: float | None
) -> None:
    with closing(bare_shop(tmp_path / "bare.crib")) as shop:
        with shop.writing():
            kind_id = add_kind(shop, "our kind", spec)
        assert spec_of_kind(shop, kind_id).long_mm == long_mm
