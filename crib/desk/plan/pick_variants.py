"""The same answers with other copies of their pieces, so that two machines can work at once.

A search pairs every punch with the one die that suits it best. Where two machines serve a phrase
and the crib has a second die, the second machine must be offered it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace

from crib.desk.plan.phrase_picks import Option, Served, heavy_cautions
from crib.features.common.findings import refusals
from crib.features.common.tooling import Tool
from crib.stock.queries.tool_shelf import ToolShelf

MOST_VARIED = 4
"""Answers at one machine that are tried with other copies, and copies that are tried."""


@dataclass
class Variants:
    """Other copies by kind, read once; those that are promised to other jobs are left alone."""

    shelf: ToolShelf
    promised: Collection[str] = ()
    _by_kind: dict[int, list[Tool]] = field(default_factory=dict)

    def of_each(self, served: Mapping[str, Served]) -> dict[str, Served]:
        """Every phrase with more options."""
        self.shelf.copies.ahead(
            tool.kind_id
            for one in served.values()
            if len(one.at) > 1
            for options in one.at.values()
            for option in options[:MOST_VARIED]
            for tool in option.candidate.tools[1:]
        )
        return {phrase: self.of(one) for phrase, one in served.items()}

    def of(self, served: Served) -> Served:
        """The phrase with more options, where two machines or more serve it."""
        if len(served.at) < 2:
            return served
        at = {
            machine: (
                *options,
                *(new for option in options[:MOST_VARIED] for new in self._vary(served, option)),
            )
            for machine, options in served.at.items()
        }
        return replace(served, at=at)

    def _vary(self, served: Served, one: Option) -> Iterator[Option]:
        """The option with another copy of each piece but the leading one."""
        if one.candidate.plan is not None:
            return
        lead, *others = one.candidate.tooling.tools.items()
        for role, tool in others:
            for copy in self._copies(served, tool)[:MOST_VARIED]:
                tools = {**dict([lead, *others]), role: copy}
                judged = served.search.judged(tools, one.station)
                told = heavy_cautions(judged)
                if not refusals(judged.findings) and told <= heavy_cautions(one.candidate):
                    yield Option(judged, one.rank, one.beside, one.own)

    def _copies(self, served: Served, tool: Tool) -> list[Tool]:
        if tool.kind_id not in self._by_kind:
            copies = self.shelf.copies.of(tool.kind_id)
            self._by_kind[tool.kind_id] = served.search.tools(copies)
        every = [
            one
            for one in self._by_kind[tool.kind_id]
            if one.tag != tool.tag and one.tag not in self.promised
        ]
        return sorted(every, key=lambda one: (one.wear, one.tag))
