"""The size column: sizes, and never the name of a kind."""

from __future__ import annotations

from typing import Any

import pytest

from crib.units import System
from crib.wording.tools import tool_name, tool_size
from tests.features.bench import mm, tool


@pytest.mark.parametrize(
    ("system", "role", "width", "more", "name", "size"),
    [
        ("in", "punch", "13/16", {}, "punch", "round 13/16 in"),
        ("mm", "punch", "22mm", {"measured": True}, "punch", "round 22 mm, measured"),
        (
            *("in", "die", "27/32", {"shape": "obround", "long_mm": mm("1-29/32")}),
            *("die", "obround 27/32 x 1-29/32 in"),
        ),
        (
            *("in", "set", "4", {"profile": "notch", "shape": "rectangle", "depth_mm": mm("3")}),
            *("notch set", "4 x 3 in"),
        ),
        (
            *("mm", "set", "60mm", {"profile": "vee", "shape": "special", "angle_deg": 90.0}),
            *("vee set", "60 mm, 90°"),
        ),
        ("in", "set", "1.9", {"profile": "saddle"}, "saddle set", "nest 1.900 in"),
        (
            *("in", "brake_tool", "2", {"profile": "vee die", "shape": "special"}),
            *("vee die", "2 in"),
        ),
        (
            *("in", "blade", "0", {"profile": "flat", "shape": "", "work_length_mm": mm("15")}),
            *("flat blade", "15 in long"),
        ),
        ("in", "blade", "0", {"profile": "round", "shape": ""}, "round blade", "-"),
    ],
)
def test_a_tool_is_told_by_its_own_sizes(
    system: System, role: str, width: str, more: dict[str, Any], name: str, size: str
) -> None:
    width_mm = 0.0 if width == "0" else mm(width)
    one = tool(role, width_mm, **({"kind": "a kind's name"} | more))
    assert (tool_name(one), tool_size(one, system)) == (name, size)
