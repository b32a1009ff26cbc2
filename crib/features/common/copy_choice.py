"""Which copy of a tool a job should wear: the better of two, or in which order to use them."""

from __future__ import annotations

from collections.abc import Sequence

from crib.features.common.case import Circumstances
from crib.features.common.findings import Finding
from crib.features.common.piece_checks import lasts, whole_parts
from crib.features.common.tooling import Tool
from crib.trade.life.wear import strokes_left

_SOURCE = "shop rule (rough work wears the worn copy, finish work takes the sharp one)"


def judge_copies(
    tool: Tool, others: Sequence[Tool], severity_each: float, facts: Circumstances, part: str
) -> Finding | None:
    """What to do with the other copies of a tool that a job wears; None where there is no choice.

    ``others`` can be taken as they are. Where one lasts the job it is named: the sharpest for
    finish work, else the most worn that lasts, which saves the new ones. Where none does, as few
    as do it together are put in an order, whole parts each: for finish work the sharpest first,
    else the most worn first.
    """
    if facts.quantity <= 1 or not others:
        return None
    if lasts(tool, severity_each, facts.quantity):
        return _saved(tool, others, facts)
    finish = facts.appearance == "finish"
    whole = [copy for copy in others if lasts(copy, severity_each, facts.quantity)]
    if whole:
        best = min(whole, key=lambda copy: (copy.used if finish else -copy.used, copy.tag))
        text = f"{best.tag} ({100 * best.used:.0f} % used) lasts the whole job: use it instead"
        at = _parts(tool, severity_each, facts)
        text += f", or {tool.tag} to {part} {at:,} and {best.tag} from there" if at else ""
        return _said(text)
    return _together([tool, *others], severity_each, facts, part)


def _saved(tool: Tool, others: Sequence[Tool], facts: Circumstances) -> Finding | None:
    sharpest = min(others, key=lambda copy: (copy.used, copy.tag))
    worn = max(others, key=lambda copy: (copy.used, copy.tag))
    if facts.appearance != "finish" and sharpest.used < tool.used:
        return _said(f"{tool.tag} lasts and is worn already: it saves {sharpest.tag}")
    if facts.appearance == "finish" and worn.used > tool.used:
        return _said(f"{tool.tag} is sharper than {worn.tag}, which stays for rough work")
    return None


def _together(
    copies: Sequence[Tool], severity_each: float, facts: Circumstances, part: str
) -> Finding | None:
    """The fewest copies that do the job, in the order in which to use them."""
    count = {copy.tag: _parts(copy, severity_each, facts) for copy in copies}
    able = [copy for copy in copies if count[copy.tag]]
    chosen: list[Tool] = []
    for copy in sorted(able, key=lambda copy: (-count[copy.tag], copy.tag)):
        if sum(count[each.tag] for each in chosen) < facts.quantity:
            chosen.append(copy)
    if len(chosen) < 2:
        return None
    finish = facts.appearance == "finish"
    chosen.sort(key=lambda copy: (copy.used if finish else -copy.used, copy.tag))
    steps, done = [], 0
    for copy in chosen:
        done = min(done + count[copy.tag], facts.quantity)
        steps.append(f"{copy.tag} to {part} {done:,}")
    text = f"in this order: {', then '.join(steps)}"
    if done < facts.quantity:
        text += f"; then {facts.quantity - done:,} are left: have one ground in between"
    return _said(text)


def _parts(tool: Tool, severity_each: float, facts: Circumstances) -> int:
    """What a copy makes until it is dull, in whole parts."""
    return whole_parts(strokes_left(tool.wear, tool.interval, severity_each), facts.per_part)


def _said(text: str) -> Finding:
    return Finding("copies", "ok", text, source=_SOURCE)
