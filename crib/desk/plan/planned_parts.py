"""What is to be planned: parts with the phrases of their features, from files or from kept jobs.

What no phrase asks for (a tapped hole, an opening of odd shape, a blind hole) is listed beside the
parts, so that nobody takes a plan for the whole of the work.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from crib.acts import Said, act, saying
from crib.desk.plan.other_ways import OtherWay, others_of
from crib.errors import BadPhrase, Missing, UnknownName
from crib.features.common.ask import Ask
from crib.features.common.case import Circumstances
from crib.features.common.plate_phrase import Reading
from crib.files.drawings.parts import Part, PartFeature, phrase_of
from crib.stock.queries.jobs import JobCard, JobLineRow, RunCard
from crib.trade.shop.shop_rules import Rules

_OTHER_MATERIAL = saying(
    *("say ", act("say.material"), " with one of these;"),
    " it is for files that say none that is known",
)


@dataclass(frozen=True, slots=True)
class PlanFeature:
    """One phrase of a part and how many of it each piece has.

    ``drawn`` are their numbers among the features of the part's drawing, when there is one.
    """

    phrase: str
    each: int
    drawn: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class PlanPart:
    """A part to be made: so many pieces, each with some features."""

    job: str
    mark: str
    pieces: int
    features: tuple[PlanFeature, ...]
    drawn: Part | None = None


@dataclass(frozen=True, slots=True)
class PlanJob:
    """A job with its parts; jobs are done in the order of ``run_order``, then of the due date."""

    name: str
    parts: tuple[PlanPart, ...]
    due_on: str = ""
    run_order: int | None = None
    others: tuple[OtherWay, ...] = ()
    notes: tuple[Said, ...] = ()

    @property
    def turn(self) -> tuple[bool, int, bool, str]:
        """When it is done: jobs of the same turn may be mixed."""
        return (self.run_order is None, self.run_order or 0, not self.due_on, self.due_on)


@dataclass
class Phrases:
    """Every phrase read once, by how it was written; and the asks by how they are written best."""

    rules: Rules
    asks: dict[str, Ask] = field(default_factory=dict)
    facts: dict[str, Circumstances] = field(default_factory=dict)
    _read: dict[str, str] = field(default_factory=dict)

    def of(self, text: str, mark: str) -> str:
        """The canonical phrase; a feature to be reamed is another one than one that is not.

        Raises:
            BadPhrase: for a phrase that cannot be read, naming the part.
        """
        from crib.desk.answer.asked import read_asked

        if text not in self._read:
            reading = Reading(self.rules)
            try:
                asked = read_asked(text, reading, Circumstances(), typed=False)
            except BadPhrase as error:
                message = f"part {mark or '?'}: {error.message}"
                raise BadPhrase(
                    message,
                    text=error.text,
                    start=error.start,
                    end=error.end,
                    way_out=error.way_out,
                ) from error
            phrase = asked.ask.phrase(reading.system)
            self.asks.setdefault(phrase, asked.ask)
            self.facts.setdefault(phrase, asked.facts)
            self._read[text] = phrase
        return self._read[text]


def _require_material(mark: str, material: str, rules: Rules) -> None:
    """A drawing's material is refused by its own name, before any phrase is written with it."""
    if material:
        try:
            rules.material(material)
        except UnknownName as error:
            message = f"part {mark}: {error.message}"
            raise UnknownName(message, way_out=_OTHER_MATERIAL) from error


def job_of_parts(name: str, due_on: str, parts: Sequence[Part], phrases: Phrases) -> PlanJob:
    """A job of parts as they were read; lines of a list with one mark and quantity are one part.

    Raises:
        Missing: when the thickness at a feature is not known.
        UnknownName: for a material that is not known.
    """
    merged: dict[tuple[object, ...], list[Part]] = {}
    for number, part in enumerate(parts):
        alone = part.length_mm > 0 or not part.mark
        key = (number,) if alone else (part.mark, part.quantity)
        merged.setdefault(key, []).append(part)
    made: list[PlanPart] = []
    others: list[OtherWay] = []
    for number, group in enumerate(merged.values(), 1):
        mark = group[0].mark or f"#{number}"
        if any(feature.can_be_asked and not feature.asked for feature in group[0].features):
            _require_material(mark, group[0].material, phrases.rules)
        asked = list(_asked(group, mark, phrases))
        others += others_of(name, mark, group)
        if asked:
            drawn = group[0] if len(group) == 1 and group[0].length_mm > 0 else None
            features = _counted(asked, drawn)
            made.append(PlanPart(name, mark, group[0].quantity, features, drawn))
    return PlanJob(name, tuple(made), due_on, others=tuple(others))


def _asked(group: Sequence[Part], mark: str, phrases: Phrases) -> Iterator[tuple[str, PartFeature]]:
    system = phrases.rules.system
    known: dict[tuple[PartFeature, str], str] = {}
    for part in group:
        for feature in part.features:
            if feature.through and feature.thickness_mm is None and not feature.asked:
                message = f"part {mark}: the thickness at a {feature.feature} is not known"
                thickness = act("say.thickness", thickness="3/8")
                raise Missing(message, way_out=saying("say ", thickness))
            if not feature.can_be_asked and not feature.asked:
                continue
            # Where it sits does not change the phrase; a drawing has the same hole many times.
            key = (feature._replace(x_mm=0.0, y_mm=0.0, face="", note=""), part.material)
            if key not in known:
                known[key] = phrases.of(phrase_of(feature, part.material, system), mark)
            yield known[key], feature


def _counted(
    asked: Sequence[tuple[str, PartFeature]], drawn: Part | None
) -> tuple[PlanFeature, ...]:
    numbers = {id(one): number for number, one in enumerate(drawn.features)} if drawn else {}
    found: dict[str, list[int]] = {}
    for phrase, one in asked:
        found.setdefault(phrase, []).append(numbers.get(id(one), -1))
    return tuple(
        PlanFeature(phrase, len(where), tuple(where) if drawn else ())
        for phrase, where in found.items()
    )


def job_of_lines(
    card: JobCard, lines: Sequence[JobLineRow], done: Sequence[RunCard], phrases: Phrases
) -> PlanJob:
    """A kept job from its lines, less what the ledger says is done of them."""
    notes: list[str] = []
    groups: dict[tuple[str | int, int], list[tuple[str, int]]] = {}
    for number, line in enumerate(lines):
        phrase = phrases.of(line.phrase, line.mark)
        left = max(line.quantity - _made(line, phrase, done), 0)
        if left < line.quantity:
            notes.append(f"{card.name} {line.mark}: {line.quantity - left} of {phrase} are logged")
        if left:
            each = line.per_part if left % line.per_part == 0 else 1
            key = (line.mark or number, left // each)
            groups.setdefault(key, []).append((phrase, each))
    parts = []
    for (mark, pieces), group in groups.items():
        name = mark if isinstance(mark, str) else f"#{mark + 1}"
        features = tuple(PlanFeature(phrase, each) for phrase, each in _summed(group).items())
        parts.append(PlanPart(card.name, name, pieces, features))
    return PlanJob(card.name, tuple(parts), card.due_on, card.run_order, (), tuple(notes))


def _summed(group: Sequence[tuple[str, int]]) -> Counter[str]:
    found: Counter[str] = Counter()
    for phrase, each in group:
        found[phrase] += each
    return found


def _made(line: JobLineRow, phrase: str, done: Sequence[RunCard]) -> int:
    """How many features of a line are logged; one that takes two pairs has its runs twice."""
    own = [run for run in done if run.mark == line.mark and run.phrase == phrase]
    planned = sum(run.quantity for run in own)
    logged = sum(Fraction(run.logged * run.quantity, run.strokes) for run in own)
    return int(logged * line.quantity / planned) if planned else 0
