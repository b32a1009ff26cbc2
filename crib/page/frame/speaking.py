"""Figures and findings as a page says them: in the crib's units and the reader's language."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from crib.desk.answer.find import Found
from crib.desk.answer.rank import Candidate
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech, Writer
from crib.features.common.tooling import Tool
from crib.page.texts import Texts
from crib.units import System
from crib.wording.tools import tool_name, tool_size

_POINT = re.compile(r"(?<=\d)\.(?=\d)")
_NAME = re.compile(r"[A-Za-z]+( [a-z]+)?")
_SHARE_RULES = ("edge",)
_KN = 1000.0
_SWAPPED = str.maketrans(",.", ".,")


def _counted(say: Speech, value: float) -> str:
    return f"{value:.0f}"


def _kilonewtons(say: Speech, value: float) -> str:
    return say.force(_KN * value)


_WRITERS: dict[str, Writer] = {
    "mm": Speech.length,
    "kN": _kilonewtons,
    "MPa": Speech.stress,
    "deg": Speech.degrees,
    "-": Speech.share,
    "kN/m": Speech.line_force,
    "": Speech.ratio,
}


@dataclass(frozen=True)
class Money:
    """Amounts of money in the shop's currency, as the reader's language writes them."""

    texts: Texts
    currency: str
    system: System

    def __call__(self, cents: int | None) -> str:
        """An amount with its currency; a dash for a price that nobody knows."""
        if cents is None:
            return "–"
        text = f"{cents / 100:,.2f}"
        if self.texts.language == "de" and self.system == "mm":
            text = text.translate(_SWAPPED)
        return f"{self.currency} {text}"


@dataclass(frozen=True)
class Speaking:
    """The crib's units and the reader's texts."""

    texts: Texts
    say: Speech

    def number(self, text: str) -> str:
        """A figure as it is written in the language: a metric crib's in German with a comma."""
        if self.texts.language == "de" and self.say.system == "mm":
            return _POINT.sub(",", text)
        return text

    def length(self, length_mm: float) -> str:
        """A length with its unit."""
        return self.number(self.say.length(length_mm))

    def share(self, share: float) -> str:
        """A share in percent."""
        return self.say.share(share)

    def tool(self, tool: Tool) -> str:
        """What a tool is."""
        name = tool_name(tool)
        return self.texts.known(f"tool.{name}", name)

    def size(self, tool: Tool) -> str:
        """The sizes that tell one tool of a sort from the next."""
        return self.number(_NAME.sub(self._known, tool_size(tool, self.say.system)))

    def rule(self, finding: Finding) -> str:
        """What a rule looks at, in a word or two."""
        return self.texts.known(f"rule.{finding.rule}", finding.rule)

    def figures(self, finding: Finding) -> str:
        """A finding's figure and its limit; empty where it has none."""
        writer = Speech.share if finding.rule in _SHARE_RULES else _WRITERS.get(finding.unit)
        write = self._written(writer or _counted, finding)
        told = [write(one) for one in (finding.value, finding.limit) if one is not None]
        if finding.limit is None or not told:
            return "".join(told)
        limit = self.texts("finding.limit", limit=told[-1])
        return limit if finding.value is None else f"{told[0]} ({limit})"

    def reasons(self, found: Found, pick: Candidate) -> Iterator[str]:
        """Why a pick does, in a few words each: its load, its clearance, why it comes first."""
        t, figures = self.texts, pick.figures
        if pick.plan is not None:
            yield t("answer.hits", n=len(pick.plan.hits))
        if "load" in figures:
            yield t("answer.load", share=self.share(figures["load"]))
        if "clearance_mm" in figures:
            yield t("answer.clearance", gap=self.length(figures["clearance_mm"]))
        if found.decided_by and pick is found.picks[0]:
            first_for = t.known(f"rank.{found.decided_by}", found.decided_by)
            yield t("answer.first-for", why=first_for)

    def _written(self, writer: Writer, finding: Finding) -> Callable[[float], str]:
        """How figure and limit are written, so that they show which is the larger."""
        say = self.say
        if finding.value is not None and finding.limit is not None:
            say = say.near(writer, finding.value, finding.limit)
        unit = finding.unit if writer is _counted else ""

        def written(value: float) -> str:
            return self.number(_NAME.sub(self._known, f"{writer(say, value)} {unit}".strip()))

        return written

    def _known(self, words: re.Match[str]) -> str:
        return self.texts.known(f"word.{words[0]}", words[0])
