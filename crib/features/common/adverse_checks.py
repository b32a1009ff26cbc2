"""Force and stress in the adverse plate: shown, and a caution where only it is over a limit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from crib.features.common.case import Case
from crib.features.common.chain_checks import Link
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech, Writer
from crib.trade.common.verdicts import Verdict, exceeds
from crib.trade.metal import force

ADVERSE = ADVERSE_FORCE, ADVERSE_STRESS = "adverse force", "adverse stress"
"""The rules that judge the adverse plate."""


@dataclass(frozen=True, slots=True)
class InAdverse:
    """A figure in the plate that was asked for, the same in the adverse one, and its limit."""

    nominal: float
    adverse: float
    limit: float


def adverse_force(case: Case, nominal_n: float, adverse_n: float, link: Link) -> Iterator[Finding]:
    """The force against the weakest link; nothing where the nominal one is beyond it already."""
    limit_n, weakest = link
    if limit_n is None or exceeds(nominal_n, limit_n):
        return
    share = force.load(adverse_n, limit_n)
    percent = case.say.near(Speech.share, share, 1.0).share(share)
    where = f"at {weakest}, {percent}," if exceeds(adverse_n, limit_n) else f"({percent})"
    kn = InAdverse(nominal_n / 1000, adverse_n / 1000, limit_n / 1000)
    yield _finding(case, ADVERSE_FORCE, kn, "kN", where)


def adverse_stress(case: Case, mpa: InAdverse) -> Iterator[Finding]:
    """The stress in the punch; nothing where the nominal one is beyond its limit already."""
    if not exceeds(mpa.nominal, mpa.limit):
        yield _finding(case, ADVERSE_STRESS, mpa, "MPa", "in the punch")


def _finding(case: Case, rule: str, beside: InAdverse, unit: str, where: str) -> Finding:
    plate = case.adverse
    write: Writer = Speech.stress if unit == "MPa" else _kilonewtons
    say = case.say.near(write, beside.adverse, beside.limit)
    say = say.near(write, beside.nominal, beside.limit)
    of = "" if plate is None else f" of {plate.words(case.say, case.plate.thickness_mm)}"
    over = exceeds(beside.adverse, beside.limit)
    verdict: Verdict = "caution" if over else "ok"
    text = (
        f"{write(say, beside.adverse)} of {write(say, beside.limit)} {where} in {case.worked}{of}"
    )
    if over:
        text += f", {write(say, beside.nominal)} as asked: look at the certificate, measure it"
    source = "" if plate is None else plate.source
    return Finding(rule, verdict, text, beside.adverse, beside.limit, unit, source)


def _kilonewtons(say: Speech, force_kn: float) -> str:
    return say.force(1000 * force_kn)
