"""How a hole is made by its code: to its full size, or under size to be reamed."""

from __future__ import annotations

from collections.abc import Iterator

from crib.features.common.findings import Finding
from crib.features.common.hole_method import Chosen, HoleMethod
from crib.features.common.speech import Speech
from crib.features.common.tooling import Tool, ToolingSet
from crib.features.holes.pair_case import CP, PairCase
from crib.trade.common.published_tables import known_name
from crib.trade.common.verdicts import Verdict, exceeds, falls_short
from crib.trade.metal import shapes
from crib.trade.metal.hole_method import SubPunch, known_codes

REAM_RULE = "common practice, a shop rule"
_RULINGS = {True: "allowed", False: "not allowed", None: "undecided"}


def judge_method(case: PairCase) -> Iterator[Finding]:
    """What the job's code says, before any tool is chosen."""
    ruling = case.ruling
    if ruling is None:
        return
    sub, thickness_mm = ruling.subpunch, case.plate.thickness_mm
    if case.to_ream and sub is not None:
        doubt = f"; {sub.doubt}" if sub.doubt and sub.doubt not in ruling.text else ""
        text = f"to be reamed: {_subpunch_words(case, sub)} ({ruling.text}{doubt})"
        verdict: Verdict = "caution" if sub.doubt else "ok"
        yield Finding("method", verdict, text, thickness_mm, ruling.limit_mm, "mm", sub.source)
        return
    allowed = ruling.allowed and not case.to_ream
    text = ruling.text if allowed else f"{ruling.text}; instead: {instead_words(case)}"
    verdict = "ok" if allowed else "refuse"
    yield Finding("method", verdict, text, thickness_mm, ruling.limit_mm, "mm", ruling.source)


def judge_under_size(case: PairCase, punch: Tool | None, die: Tool | None) -> Iterator[Finding]:
    """Whether a punch and a die leave enough to be reamed, and no more than a reamer takes."""
    limits, say = case.under_size, case.say
    if limits is None:
        if case.to_ream and case.ruled.subpunch is not None:
            text = f"nothing is left to punch a hole of {say.size(case.outline.width_mm)} with"
            yield Finding("size", "refuse", text, case.outline.width_mm, None, "mm", REAM_RULE)
        return
    finished = say.size(case.outline.width_mm)
    if punch is not None:
        size_mm, most_mm = punch.width_mm, limits.punch_most_mm
        say = say.near(Speech.size, size_mm, most_mm, limits.punch_least_mm)
        text = f"punch {say.size(size_mm)}, reamed to {finished}: at most {say.size(most_mm)}"
        good = punch.shape == "round" and not exceeds(size_mm, most_mm)
        if falls_short(size_mm, limits.punch_least_mm):
            good, most_mm = False, limits.punch_least_mm
            text = (
                f"punch {say.size(size_mm)} leaves more to {finished} than is reamed:"
                f" at least {say.size(most_mm)}"
            )
        verdict: Verdict = "ok" if good else "refuse"
        yield Finding("size", verdict, text, size_mm, most_mm, "mm", _source(case))
    if die is not None:
        clean = not exceeds(die.width_mm, limits.die_most_mm)
        say = case.say.near(Speech.size, die.width_mm, limits.die_most_mm)
        text = (
            f"die {say.size(die.width_mm)}, at most {say.size(limits.die_most_mm)}:"
            f" no punched face is left at {finished}"
        )
        verdict = "ok" if clean else "refuse"
        yield Finding("ream", verdict, text, die.width_mm, limits.die_most_mm, "mm", _source(case))


def judge_code_die(case: PairCase, punch: Tool, die: Tool) -> Iterator[Finding]:
    """How much larger than its punch the code lets a die be, where it says so."""
    over_mm = case.ruling.die_over_mm if case.ruling else None
    if over_mm is None:
        return
    gap_mm = die.width_mm - punch.width_mm
    wide, say = exceeds(gap_mm, over_mm), case.say.near(Speech.length, gap_mm, over_mm)
    text = (
        f"die {say.length(gap_mm)} over the punch, the code's clause on punched holes has"
        f" {say.length(over_mm)} at most"
    )
    if wide:
        text += ": ask the engineer whether that holds where the hole is reamed"
    yield Finding("code die", "caution" if wide else "ok", text, gap_mm, over_mm, "mm", case.code)


def method_of(case: PairCase, tooling: ToolingSet | None) -> HoleMethod | None:
    """How the hole is made with a pair that was picked, or with none yet."""
    ruling = case.ruling
    if ruling is None:
        return None
    punch = tooling.tool("punch") if tooling else None
    sub = ruling.subpunch if case.outline.shape == "round" else None
    chosen: Chosen = "punch under size and ream" if case.to_ream else "punch full size"
    return HoleMethod(
        code=known_name(case.code, known_codes()) or case.code,
        ruling=_RULINGS[ruling.allowed],
        chosen=chosen if tooling else "none yet",
        instead="" if ruling.allowed else instead_words(case),
        text=ruling.text,
        source=ruling.source,
        limit_mm=ruling.limit_mm,
        under_mm=sub.under_mm if sub else None,
        subpunch_of=sub.measured if sub else "",
        subpunch_most_mm=sub.most_mm if sub else None,
        finished_mm=shapes.narrowest_mm(case.outline),
        punched_mm=punch.width_mm if punch else None,
        tools=tuple(tool.tag for tool in tooling.tools.values()) if tooling else (),
    )


def instead_words(case: PairCase) -> str:
    """What is done in the place of punching to full size, by the same ruling."""
    ruling = case.ruled
    if case.outline.shape != "round":
        return "drill its ends or corners and saw, mill or grind between"
    if ruling.subpunch is not None:
        return f"{_subpunch_words(case, ruling.subpunch)}, and ream; or drill"
    if ruling.which_bolt:
        return "say which bolt it is for, then punch it under size and ream; or drill"
    return "drill, or sub-drill and ream" if ruling.sub_drill else "drill"


def _subpunch_words(case: PairCase, sub: SubPunch) -> str:
    if not sub.under_mm:
        return "punch it under size, the die within the finished hole"
    under, most = case.say.size(sub.under_mm), case.say.size(sub.most_mm)
    of = f"under the {'bolt' if sub.counted_from == 'bolt' else 'finished hole'}"
    return f"punch it under size, the {sub.measured} at least {under} {of}, so at most {most}"


def _source(case: PairCase) -> str:
    sub = case.ruled.subpunch
    return f"{sub.source}; {REAM_RULE}" if sub and sub.source != CP else REAM_RULE
