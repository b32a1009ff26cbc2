"""A specification goes through JSON and comes back whole; what is none is refused."""

from __future__ import annotations

import json
from dataclasses import MISSING, fields, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.features.common.tool_spec import ToolSpec, spec_from_json, spec_of_tool, tool_of_spec
from crib.features.common.tooling import EnvelopeRow
from tests.features.bench import SEAT_A, tool

TEXTS = st.text(max_size=12)
FIGURES = st.floats(1e-3, 1e7)
POINTS = st.builds(EnvelopeRow, TEXTS, st.floats(0, 89), FIGURES, FIGURES, TEXTS)
OF_TYPE: dict[str, st.SearchStrategy[Any]] = {
    "str": TEXTS,
    "int": st.integers(1, 500),
    "float | None": st.none() | FIGURES,
    "tuple[int, ...]": st.lists(st.integers(0, 359), max_size=3).map(tuple),
    "tuple[tuple[str, float], ...]": st.lists(st.tuples(TEXTS, FIGURES), max_size=3).map(tuple),
    "tuple[EnvelopeRow, ...]": st.lists(POINTS, max_size=3).map(tuple),
}
SPECS = st.builds(ToolSpec, **{one.name: OF_TYPE[str(one.type)] for one in fields(ToolSpec)})


@given(SPECS)
def test_a_specification_comes_back_from_json_as_it_was(spec: ToolSpec) -> None:
    assert spec_from_json(json.loads(json.dumps(spec.as_json()))) == spec


def test_what_is_not_known_is_not_said() -> None:
    assert ToolSpec("set", profile="saddle", header_mm=48.26).as_json() == {
        "role": "set",
        "profile": "saddle",
        "header_mm": 48.26,
    }


def test_what_a_later_program_says_more_is_passed_by() -> None:
    assert spec_from_json({"role": "die", "colour": "blue", "length_mm": None}) == ToolSpec("die")


@pytest.mark.parametrize(
    "row",
    [
        None,
        [],
        "1 punch",
        {},
        {"role": 3},
        {"role": "die", "width_mm": float("nan")},
        {"role": "die", "width_mm": -1},
        {"role": "die", "width_mm": "20"},
        {"role": "die", "width_mm": True},
        {"role": "die", "quantity": 0},
        {"role": "die", "quantity": 1.5},
        {"role": "die", "key_angles": ["0"]},
        {"role": "die", "key_angles": 90},
        {"role": "die", "seat_numbers": [["die OD"]]},
        {"role": "die", "seat_numbers": [["die OD", 0]]},
        {"role": "set", "envelope": [["notch", 0, 50]]},
        {"role": "set", "envelope": [["notch", 0, 50, 0, "A36"]]},
        {"role": "set", "envelope": {"notch": 50}},
    ],
)
def test_what_is_no_specification_is_refused(row: Any) -> None:
    with pytest.raises(BadValue, match=r"cannot be read as|object with a role"):
        spec_from_json(row)


def test_a_tool_and_its_specification_say_the_same() -> None:
    made = tool(
        *("set", 38.1),
        seat=SEAT_A,
        tag="",
        place="",
        to_order=True,
        profile="saddle",
        header_mm=60.3,
        least_wall_mm=2.0,
        most_wall_mm=3.0,
        rated_force_n=5e4,
        envelope=(EnvelopeRow("saddle", 0.0, 38.1, 3.0, "A36"),),
    )
    spec = spec_of_tool(made)
    assert (spec.seat_name, spec.seat_numbers) == ("A", SEAT_A.numbers("set"))
    assert tool_of_spec(spec, SEAT_A) == made


def test_a_tool_without_a_size_has_none_in_its_specification() -> None:
    spec = ToolSpec("blade", profile="flat")
    assert spec_of_tool(tool_of_spec(spec, None)) == spec


def test_every_figure_has_a_default_so_that_older_texts_are_read() -> None:
    bare = [one.name for one in fields(ToolSpec) if one.default is MISSING]
    assert bare == ["role"]
    assert replace(ToolSpec("die"), quantity=1) == spec_from_json({"role": "die"})
