"""A plan as it is shown, printed and given to programs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from crib.acts import Said
from crib.desk.answer.find import Found
from crib.desk.common.caution_page import Work
from crib.desk.common.cautions import short_cautions, station_work
from crib.desk.parts.parts_count import ledger_json
from crib.desk.plan.drawing_checks import Told
from crib.desk.plan.other_ways import OtherWay
from crib.desk.plan.phrase_picks import Served
from crib.desk.plan.planned_parts import PlanJob
from crib.desk.plan.runs import GivesOut, Run
from crib.desk.plan.share_parts import Minutes
from crib.desk.plan.task_order import OrderedTasks
from crib.features.common.findings import Finding, cautions
from crib.files.common.reading_ledger import FileAccount
from crib.stock.queries.jobs import RunCard
from crib.trade.shop.shop_rules import Rule
from crib.units import System

_EDGE_RULES = ("lasting",)
"""What the plan says itself, for the whole of it."""


@dataclass(frozen=True, slots=True)
class UnservedPhrase:
    """A phrase that nothing serves: how many, on which parts, and what to order or do."""

    phrase: str
    quantity: int
    marks: tuple[str, ...]
    found: Found

    def as_json(self) -> dict[str, Any]:
        """What is missing, for programs."""
        return {
            "phrase": self.phrase,
            "quantity": self.quantity,
            "parts": list(self.marks),
            "serves_elsewhere": self.found.serves,
            "order": [line.as_json() for line in self.found.order],
            "why_no_order": self.found.why_no_order,
            "workarounds": [{"text": one.said(), "ask": one.ask} for one in self.found.workarounds],
        }


@dataclass(frozen=True)
class Plan:
    """The whole plan. ``told`` is what drawings say, ``others`` what is made another way.

    ``rests_on`` are the rules that the shop changed and that were looked at for it. ``stands`` are
    the runs of the plan before that stay as they are, ``lost`` the pieces that others lost, each
    with what is wrong with it.
    """

    jobs: tuple[PlanJob, ...]
    machines: tuple[OrderedTasks, ...]
    runs: tuple[Run, ...]
    gives_out: tuple[GivesOut, ...]
    missing: tuple[UnservedPhrase, ...]
    others: tuple[OtherWay, ...]
    told: tuple[Told, ...]
    notes: tuple[Said, ...]
    minutes: Minutes
    in_order: bool
    system: System
    served: Mapping[str, Served]
    rests_on: tuple[Rule, ...] = ()
    kept: str = ""
    stands: tuple[RunCard, ...] = ()
    lost: tuple[tuple[str, str], ...] = ()
    sheets: tuple[str, ...] = ()
    accounts: tuple[FileAccount, ...] = ()

    @property
    def serves(self) -> bool:
        """Whether something of it can be made."""
        return bool(self.runs or self.stands)

    @property
    def strokes(self) -> int:
        """Strokes of all runs."""
        return sum(run.strokes for run in self.runs)

    def runs_at(self, machine: str) -> list[Run]:
        """The runs at one machine, in order."""
        return [run for run in self.runs if run.station.machine == machine]

    def swaps_at(self, machine: str) -> int:
        """Copies that are changed for another at one machine."""
        return sum(run.swapped for run in self.runs_at(machine))

    def minutes_at(self, one: OrderedTasks) -> float:
        """What the work at a machine takes."""
        runs = self.runs_at(one.machine)
        handled = sum(task.chunk.part.pieces for task in one.tasks)
        changes = one.changes + self.swaps_at(one.machine)
        return (
            changes * self.minutes.change
            + handled * self.minutes.part
            + sum(run.strokes * self.minutes.of_stroke(run.station.work) for run in runs)
        )

    def works_at(self, machine: str | None = None) -> list[Work]:
        """The sorts of work that are run at a machine, or at all of them."""
        runs = self.runs if machine is None else self.runs_at(machine)
        return list(dict.fromkeys(station_work(run.station.work) for run in runs))

    @property
    def cautions(self) -> tuple[str, ...]:
        """What the works of the plan want to be minded."""
        return short_cautions(self.works_at())

    def warnings(self) -> list[tuple[str, Finding]]:
        """What allows a pick with a caution, once for each phrase and text."""
        found: dict[tuple[str, str], tuple[str, Finding]] = {}
        for run in self.runs:
            phrase = run.use.feature.phrase
            for finding in cautions(run.use.option.candidate.findings):
                if finding.rule not in _EDGE_RULES:
                    found.setdefault((phrase, finding.text), (phrase, finding))
        return list(found.values())

    def as_json(self) -> dict[str, Any]:
        """The plan for programs, SI units."""
        return {
            "jobs": [_job_json(job) for job in self.jobs],
            "machines": [self._machine_json(machine) for machine in self.machines],
            "runs": [run_json(number, run) for number, run in enumerate(self.runs, 1)],
            "strokes": self.strokes,
            "will_not_last": [asdict(one) for one in self.gives_out],
            "missing": [one.as_json() for one in self.missing],
            "made_otherwise": [asdict(other) for other in self.others],
            "drawing": [asdict(one) for one in self.told],
            "warnings": [
                {"phrase": phrase, **finding.as_json()} for phrase, finding in self.warnings()
            ],
            "in_order": self.in_order,
            "kept": self.kept or None,
            "as_before": [_stands_json(run) for run in self.stands],
            "no_longer_fit": [{"tag": tag, "because": words} for tag, words in self.lost],
            "sheets": list(self.sheets),
            "notes": list(self.notes),
            "ledger": ledger_json(self.accounts),
            "changed_rules": [rule.as_json() for rule in self.rests_on],
            "cautions": list(self.cautions),
        }

    def _machine_json(self, one: OrderedTasks) -> dict[str, Any]:
        return {
            "machine": one.machine,
            "changes": one.changes,
            "changes_given_order": one.given_changes,
            "changes_free_order": one.free_changes,
            "changes_least": one.least,
            "proven": one.proven,
            "swaps": self.swaps_at(one.machine),
            "strokes": sum(run.strokes for run in self.runs_at(one.machine)),
            "minutes": round(self.minutes_at(one), 3),
        }


def _job_json(job: PlanJob) -> dict[str, Any]:
    return {
        "job": job.name,
        "due_on": job.due_on or None,
        "run_order": job.run_order,
        "parts": [
            {
                "mark": part.mark,
                "pieces": part.pieces,
                "features": [{"phrase": f.phrase, "each": f.each} for f in part.features],
            }
            for part in job.parts
        ],
    }


def run_json(number: int, run: Run) -> dict[str, Any]:
    """One run for programs."""
    figures = run.use.option.candidate.figures
    return {
        "sequence": number,
        "job": run.task.chunk.job.name,
        "mark": run.task.chunk.part.mark,
        "phrase": run.use.feature.phrase,
        "machine": run.station.machine,
        "station": run.station.name,
        "pieces": [
            {"role": role, "tag": tool.tag, "place": tool.place, "kind": tool.kind}
            for role, tool in zip(run.use.pair.roles, run.tools, strict=True)
        ],
        "adapters": list(run.use.pair.adapters),
        "parts": run.pieces,
        "each": run.each,
        "quantity": run.quantity,
        "hits": run.use.pair.hits,
        "strokes": run.strokes,
        "weighted_strokes": round(run.weighted, 3),
        "put_in": run.put_in,
        "swapped": run.swapped,
        "split": run.task.split,
        "force_kn": _figure(figures, "force_kn"),
        "load": _figure(figures, "load"),
        "punched_mm": _figure(figures, "punched_mm"),
        "finished_mm": _figure(figures, "finished_mm"),
    }


def _stands_json(run: RunCard) -> dict[str, Any]:
    return {
        "mark": run.mark,
        "phrase": run.phrase,
        "pieces": [tag for tag in (run.tag, run.with_tag, *run.beside_tags) if tag],
        "strokes": run.strokes,
        "logged": run.logged,
    }


def _figure(figures: Mapping[str, float], name: str) -> float | None:
    value = figures.get(name)
    return None if value is None else round(value, 6)


def marks_of(runs: Sequence[Run]) -> list[str]:
    """The marks of some runs, each once."""
    return list(dict.fromkeys(run.task.chunk.part.mark for run in runs))
