"""Words of a row that questions look things up by: brought to their one writing, or demanded.

A tool whose outline, purpose or seat no question knows would be taken in and never be found. So
what follows from the rest of the row is filled in, and what does not is a fault. A full export goes
in as it is: checking the crib lists what no question reaches.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import Any

from crib.acts import Fact, Said, saying
from crib.desk.common.kept_for import families, family_of
from crib.errors import UnknownName
from crib.features.common.asked_tool import shape_made_for, why_not_asked
from crib.features.common.operations import OPERATION_WORK, operation_called
from crib.features.common.tool_spec import ToolSpec
from crib.features.registry import asked_tools
from crib.trade.shop.shop_rules import Rules

Values = dict[str, Any]
WordFault = tuple[str, Said]
"""A column and what is wrong with it."""

_COLUMN = {
    "reach.adapter-same": "presents seat",
    "reach.made-for": "made for",
    "reach.shape": "shape",
    "reach.size": "size",
    "reach.long": "long",
    "reach.seat": "seat",
}
"""The column in which each reason is put right; for any other a row is taken."""


def bring_to_words(table: str, values: Values, rules: Rules) -> None:
    """Bring what a row says to the words that questions know, where it can mean one thing."""
    with suppress(UnknownName):
        if table == "envelopes":
            values["operation"] = operation_called(values["operation"])
        elif table == "pieces":
            values["dedicated to"] = family_of(values["dedicated to"], rules)
        elif table == "kinds" and not values["shape"] and values["made for"]:
            made_for = values["made for"]
            values["shape"] = shape_made_for(values["role"], made_for, asked_tools())


def unknown_words(table: str, values: Values, rules: Rules) -> Iterator[WordFault]:
    """What of a row no question would know, by its column."""
    find = _FIND.get(table)
    if find is not None:
        yield from find(values, rules)


def _kind(values: Values, _rules: Rules) -> Iterator[WordFault]:
    if _lacks_its_size(values):
        return
    for reason in why_not_asked(_spec(values), asked_tools()):
        if reason.code in _COLUMN and not _is_rare(values, reason):
            yield _COLUMN[reason.code], saying(reason)


def _lacks_its_size(values: Values) -> bool:
    """Whether a punch or die lacks what every table asks of one, which is said by itself."""
    is_pair = values["role"] in ("punch", "die")
    return is_pair and not (values["shape"] and values["size"] is not None)


def _is_rare(values: Values, reason: Fact) -> bool:
    """A punch of a shape that no feature asks for is there all the same, and is known to be."""
    return values["role"] in ("punch", "die") and reason.code == "reach.shape"


def _spec(values: Values) -> ToolSpec:
    return ToolSpec(
        role=values["role"],
        shape=values["shape"],
        width_mm=values["size"],
        long_mm=values["long"],
        profile=values["made for"],
        seat_name=values["seat"] or "",
        presents_seat=values["presents seat"] or "",
    )


def _list(values: Values, _rules: Rules) -> Iterator[WordFault]:
    if values["operation"] not in OPERATION_WORK:
        try:
            operation_called(values["operation"])
        except UnknownName as error:
            yield "operation", error.said("; ")


def _piece(values: Values, rules: Rules) -> Iterator[WordFault]:
    if values["dedicated to"] not in ("", *families()):
        try:
            family_of(values["dedicated to"], rules)
        except UnknownName as error:
            yield "dedicated to", error.said("; ")


_FIND: dict[str, Callable[[Values, Rules], Iterator[WordFault]]] = {
    "kinds": _kind,
    "envelopes": _list,
    "pieces": _piece,
}
