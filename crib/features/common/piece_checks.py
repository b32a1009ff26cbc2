"""The rules that judge one piece by itself: condition, place, dedication, edge, and its lasting."""

from __future__ import annotations

from collections.abc import Iterator

from crib.acts import act
from crib.features.common.case import Case
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.common.tooling import Tool
from crib.trade.common.verdicts import Verdict, exceeds, falls_short
from crib.trade.life.wear import LevelLimits, level, will_it_last
from crib.trade.metal.materials import Material
from crib.trade.shop.shop_rules import Rules

AWAY = ("grinder", "person", "outside")
_SOURCE = "shop rule (weighted strokes)"
_LARGE = 0.25
_AFTER_LAND = {"punch": "holes come out small and stick", "die": "its opening grows"}
_LEAST_ODDS = 200


def piece_findings(
    tool: Tool, severity_each: float, case: Case, part: str = "hole"
) -> Iterator[Finding]:
    """Every rule for one piece; ``part`` is the word for what one stroke makes."""
    if tool.to_order:
        return
    yield from _condition(tool)
    yield from _place(tool)
    yield from _dedicated(tool, case.plate.material)
    yield from _length(tool, case)
    yield from _land(tool, case)
    yield _edge(tool, case)
    if case.facts.quantity > 1:
        yield _lasting(tool, severity_each, case, part)


def _condition(tool: Tool) -> Iterator[Finding]:
    if tool.condition == "sound":
        return
    if tool.condition == "inspect":
        text, remedy = f"{tool.tag} waits for an inspection", act("look.inspected", tag=tool.tag)
        yield Finding("condition", "refuse", text, source="ledger", remedy=remedy)
    else:
        text = f"{tool.tag} is {tool.condition}: it must not be used"
        yield Finding("condition", "refuse", text, source="ledger", final=True)


def _place(tool: Tool) -> Iterator[Finding]:
    if tool.place_sort in AWAY:
        text = f"{tool.tag} is away ({tool.place}): fetch it first"
        yield Finding("place", "refuse", text, source="ledger")


def _dedicated(tool: Tool, material: Material) -> Iterator[Finding]:
    if tool.dedicated_to and tool.dedicated_to != material.family:
        text = f"{tool.tag} is kept for {tool.dedicated_to}; this is {material.family}"
        yield Finding("dedicated", "refuse", text, source="shop rule")


def _length(tool: Tool, case: Case) -> Iterator[Finding]:
    """Ground below its least length a tool reaches too little, and has lost its straight land."""
    length_mm, least_mm = tool.length_mm, tool.least_length_mm
    if length_mm is None or least_mm is None or not falls_short(length_mm, least_mm):
        return
    say = case.say.near(Speech.length, length_mm, least_mm)
    text = (
        f"{tool.tag} is {say.length(length_mm)} long, at least {say.length(least_mm)}:"
        " retire it, or measure it again"
    )
    yield Finding("length", "refuse", text, length_mm, least_mm, "mm", "shop rule")


def _land(tool: Tool, case: Case) -> Iterator[Finding]:
    """Ground beyond its straight land a punch is thinner behind its edge, a die wider."""
    land_mm = case.rules.number("grind.land_mm")
    if tool.role not in _AFTER_LAND or not exceeds(tool.ground_mm, land_mm):
        return
    say = case.say.near(Speech.length, tool.ground_mm, land_mm)
    text = (
        f"{tool.tag} is ground {say.length(tool.ground_mm)}, past its straight land of"
        f" {say.length(land_mm)}: {_AFTER_LAND[tool.role]}; measure it, or retire it"
    )
    yield Finding("land", "caution", text, tool.ground_mm, land_mm, "mm", "shop rule")


def _edge(tool: Tool, case: Case) -> Finding:
    """What the edge may still do; a reminder does not stop rough work, finish work it does."""
    rules = case.rules
    levels = case.once(_levels)
    at = level(tool.used, levels)
    decides = (levels.before_job, levels.no_finish)
    used = case.say.near(Speech.share, tool.used, *decides).share(tool.used)
    percent = f"{tool.tag} {used} of its interval, {tool.edge_state}"
    verdict: Verdict = "ok"
    text = percent
    limit = rules.number("wear.before_job")
    if at == "not_for_finish":
        verdict = "refuse" if case.facts.appearance == "finish" else "caution"
        limit = rules.number("wear.no_finish")
        text = f"{percent}: not for finish work; {_renew(tool)} it"
    elif at == "before_next_job":
        verdict, text = "caution", f"{percent}: {_renew(tool)} it before the next job"
    elif at == "after_this_job":
        text = f"{percent}: {_renew(tool)} it after this job"
    return Finding("edge", verdict, text, tool.used, limit, "", _SOURCE)


def _renew(tool: Tool) -> str:
    """A blade with an edge that was not in use yet is turned before anything is ground."""
    return "turn" if tool.edge < tool.edges else "grind"


def _lasting(tool: Tool, severity_each: float, case: Case, part: str) -> Finding:
    """Whether the edge lasts the job, the hole where it runs out, and the part boundary before.

    The chance is the one of an edge that is sharp now to be dull by the end.
    """
    facts, defer_to = case.facts, case.rules.number("wear.defer_to")
    forecast = will_it_last(tool.wear, tool.interval, severity_each, facts.quantity, defer_to)
    chance = _chance_dull(tool, severity_each * facts.quantity, case.rules)
    after = f"{tool.tag} ends at {100 * forecast.fraction_after:.0f} %, {odds(chance)} dull by then"
    if forecast.lasts:
        text = f"lasts {facts.quantity:,} at {severity_each:.2f} each: {after}"
        return Finding(
            "lasting", "ok", text, facts.quantity, None, "strokes", _SOURCE, chance=chance
        )
    dull_at = forecast.dull_at or 0
    where = (
        f"dull at {part} {dull_at:,} of {facts.quantity:,}"
        if dull_at
        else f"dull before the first {part}"
    )
    parts = [f"{where} ({severity_each:.2f} each)"]
    if forecast.defer_at is not None:
        parts.append(f"{100 * defer_to:.0f} % at {part} {forecast.defer_at:,}")
    parts.append(after)
    remedy = _remedy(tool, whole_parts(dull_at, facts.per_part), dull_at, part)
    text = f"{'; '.join(parts)}: {remedy}"
    return Finding(
        "lasting", "caution", text, dull_at, facts.quantity, "strokes", _SOURCE, chance=chance
    )


def _chance_dull(tool: Tool, more: float, rules: Rules) -> float:
    # Only a job asks for chances; a single part is judged without what reckons them.
    from crib.trade.life.kept_life import life_in_force
    from crib.trade.shop.life_settings import prior_of

    return life_in_force(tool.life, prior_of(tool.interval, rules)).chance_dull(tool.wear, more)


def odds(chance: float) -> str:
    """A chance as the floor says it: 1 in 10; in percent where it is large."""
    if chance > _LARGE:
        return f"{100 * chance:.0f} in 100"
    if chance < 1 / _LEAST_ODDS:
        return f"under 1 in {_LEAST_ODDS}"
    return f"1 in {round(1 / chance)}"


def whole_parts(strokes: int, per_part: int) -> int:
    """So many strokes less those of a part that would not be finished."""
    return strokes - strokes % per_part if per_part > 1 else strokes


def _remedy(tool: Tool, swap_at: int, dull_at: int, part: str) -> str:
    renew = _renew(tool)
    if swap_at:
        return f"{renew} first, or swap at {part} {swap_at:,}"
    return f"{renew} first: it does not last one part" if dull_at else f"{renew} first"


def _levels(case: Case) -> LevelLimits:
    return level_limits(case.rules)


def level_limits(rules: Rules) -> LevelLimits:
    """The shop's reminder levels."""
    return LevelLimits(
        plan=rules.number("wear.plan"),
        after_job=rules.number("wear.after_job"),
        before_job=rules.number("wear.before_job"),
        no_finish=rules.number("wear.no_finish"),
    )


def lasts(tool: Tool, severity_each: float, quantity: int) -> bool:
    """Whether an edge has enough left for a whole job."""
    return not falls_short(tool.interval, tool.wear + severity_each * quantity)
