"""The keys that stop a shaped pair from turning: in every seat of the chain, and with one another.

Round tools may turn; every other outline must stand as its die does.
"""

from __future__ import annotations

from collections.abc import Iterator

from crib.features.common.findings import Finding
from crib.features.common.key_words import key_ways, keyed_words
from crib.features.common.tooling import Adapter, Tool, ToolingSet
from crib.trade.metal.key_angles import keys_that_line_up, repeats_every_deg

_CP = "common practice, no source"
_DECLARED = f"declared by the shop; {_CP}"


def key_findings(tooling: ToolingSet) -> Iterator[Finding]:
    """Every seat from tool to station must hold a key, and the two keys line up."""
    yield from turning_findings(tooling)
    punch, die = tooling.tool("punch"), tooling.tool("die")
    if punch is not None and die is not None and punch.shape != "round":
        yield line_up_finding(punch, die)


def turning_findings(tooling: ToolingSet) -> Iterator[Finding]:
    """A shaped punch or die that could turn, in its own seat or with its adapter."""
    for role in ("punch", "die"):
        tool = tooling.tool(role)
        if tool is None or tool.shape == "round":
            continue
        for text in _could_turn(role, tool, tooling.adapters.get(role)):
            yield Finding("key", "refuse", text, source=_DECLARED)


def _could_turn(role: str, tool: Tool, adapter: Adapter | None) -> Iterator[str]:
    if tool.seat is not None and not tool.seat.keyed:
        yield f"seat {tool.seat.name} holds no key: a shaped {role} could turn in it"
    if adapter is not None and (adapter.sits_in is None or not adapter.sits_in.keyed):
        yield (
            f"adapter {adapter.tag} sits in seat {adapter.fits}, which holds no key:"
            f" the shaped {role} could turn with it"
        )


def pair_ways(tooling: ToolingSet) -> str:
    """The ways in which the keys of a shaped pair let it stand, short; empty for a round one.

    Of a tool without its partner it says the ways of that.
    """
    punch, die = tooling.tool("punch"), tooling.tool("die")
    one = punch or die
    if one is None:
        return ""
    if punch is None or die is None:
        return key_ways(one.shape, one.key_angles)
    fitting = keys_that_line_up(punch.shape, punch.key_angles, die.key_angles)
    return key_ways(punch.shape, [angle for angle, _of_die in fitting])


def line_up_finding(punch: Tool, die: Tool) -> Finding:
    """Whether punch and die lie over one another at some angle of their keys."""
    fitting = keys_that_line_up(punch.shape, punch.key_angles, die.key_angles)
    same = [one for one, other in fitting if one == other]
    if same:
        text = f"punch and die {keyed_words(punch.shape, same)}"
        return Finding("key", "ok", text, source=_CP)
    if fitting:
        of_punch, of_die = fitting[0]
        text = (
            f"punch keyed at {of_punch}° and die at {of_die}° line up:"
            f" a {punch.shape} is the same every {repeats_every_deg(punch.shape)}°"
        )
        return Finding("key", "ok", text, source=_CP)
    text = f"punch {_keyed(punch)}, die {_keyed(die)}: the shaped pair would not line up"
    return Finding("key", "refuse", text, source=_CP, final=True)


def _keyed(tool: Tool) -> str:
    return keyed_words(tool.shape, tool.key_angles)
