"""What a tool is called and its sizes, in the few words that a column has."""

from __future__ import annotations

from collections.abc import Iterator

from crib.features.common.key_words import key_ways
from crib.features.common.sizes import clean_pair, clean_text, decimal_text
from crib.features.common.tooling import CUT_FROM_AN_EDGE, Tool
from crib.trade.common.verdicts import exceeds
from crib.units import System


def tool_name(tool: Tool) -> str:
    """What it is: ``punch``, ``notch set``, ``flat blade``, ``vee die``."""
    role = tool.role.replace("_", " ")
    if tool.role == "brake_tool":
        return tool.profile or role
    return f"{tool.profile} {role}" if tool.profile else role


def tool_size(tool: Tool, system: System) -> str:
    """The sizes that tell one tool of a sort from the next; ``-`` where none is on record."""
    text = ", ".join(_sizes(tool, system)) or "-"
    return f"{text}, measured" if tool.measured else text


def tool_place(tool: Tool) -> str:
    """Where it is taken from; what another site has with that site's name and the days."""
    days = "1 day" if tool.site_days == 1 else f"{tool.site_days} days"
    return f"{tool.place} at {tool.site}, {days}" if tool.site else tool.place


def _sizes(tool: Tool, system: System) -> Iterator[str]:
    if tool.profile == "saddle":
        yield f"nest {decimal_text(tool.width_mm, system)}"
    elif tool.width_mm > 0:
        yield _across(tool, system)
    if ways := key_ways(tool.shape, tool.key_angles):
        yield ways
    if tool.angle_deg is not None and tool.profile not in ("saddle", "corner"):
        yield f"{tool.angle_deg:g}°"
    if tool.corner_radius_mm is not None:
        yield f"radius {clean_text(tool.corner_radius_mm, system)}"
    if tool.work_length_mm is not None:
        yield f"{clean_text(tool.work_length_mm, system)} long"


def _across(tool: Tool, system: System) -> str:
    if tool.profile in CUT_FROM_AN_EDGE and tool.profile != "vee" and tool.depth_mm:
        return clean_pair(tool.width_mm, tool.depth_mm, system)
    size = clean_text(tool.width_mm, system)
    if exceeds(tool.long_mm, tool.width_mm):
        size = clean_pair(tool.width_mm, tool.long_mm, system)
    return size if tool.shape in ("", "special") else f"{tool.shape} {size}"
