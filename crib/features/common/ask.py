"""What every kind of feature says: how it is asked for, and what it answers about tooling.

A feature file defines an ``Ask``, which a phrase reads to, its ``Answers`` under a case, and one
``FEATURE`` that says how the phrase is read. Nothing else has to know of it.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, ClassVar, Generic, Protocol, TypeVar

from crib.acts import Act, Said, joined, saying
from crib.features.common.asked_tool import AskedTool
from crib.features.common.case import Case, Circumstances, Plate
from crib.features.common.findings import Finding
from crib.features.common.hole_method import HoleMethod
from crib.features.common.pair_wear import hit_severity
from crib.features.common.phrase import Words
from crib.features.common.phrase_form import PhraseForm
from crib.features.common.piece_checks import piece_findings
from crib.features.common.plate_phrase import Reading
from crib.features.common.tool_spec import ToolSpec, spec_of_tool
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.trade.life.wear import Hit as HitKind
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.picture import Picture

AskT = TypeVar("AskT", bound="Ask", covariant=True)
CaseT = TypeVar("CaseT", bound=Case, covariant=True)


@dataclass(frozen=True, slots=True)
class Need:
    """Tooling of one role that could serve: shape and the ranges of its two sizes.

    ``profile`` is what a set or blade is made for; it is empty for punches and dies.
    """

    role: str
    shape: str
    least_width_mm: float
    most_width_mm: float
    least_long_mm: float
    most_long_mm: float
    aim_width_mm: float
    text: str
    profile: str = ""

    def is_met_by(self, tool: Tool) -> bool:
        """Whether a tool's sizes lie within both ranges."""
        return (
            self.least_width_mm <= tool.width_mm <= self.most_width_mm
            and self.least_long_mm <= tool.long_mm <= self.most_long_mm
        )


@dataclass(frozen=True, slots=True)
class Workaround:
    """Something to do meanwhile; ``ask`` is a phrase to try, ``acts`` how it is done, if known."""

    text: str
    ask: str | None = None
    cost_rank: int = 50
    acts: tuple[Act, ...] = ()

    def said(self) -> Said:
        """What to do, and how."""
        how = joined(", ", [saying(one) for one in self.acts])
        return saying(self.text, ": ", how) if self.acts else self.text


class Ask(Protocol):
    """A feature wanted in a plate, as a phrase says it; asks that read alike are equal."""

    @property
    def feature(self) -> str:
        """The word of its kind."""
        ...

    @property
    def plate(self) -> Plate:
        """What is worked."""
        ...

    @property
    def work(self) -> str:
        """The station work it needs, a word of the stations' ``does``."""
        ...

    def phrase(self, system: System) -> str:
        """The ask written the one canonical way."""
        ...

    def as_json(self) -> dict[str, Any]:
        """The ask for programs, SI."""
        ...

    def answers(self, rules: Rules, facts: Circumstances) -> Answers[Ask, Case]:
        """What its kind answers under the shop's rules and the job's circumstances."""
        ...


@dataclass(frozen=True, slots=True)
class Hit:
    """One stroke of a plan.

    ``x_mm`` and ``y_mm`` are the tool's centre from the feature's centre (from the middle of the
    edge for a notch, depth positive into the plate). ``bite`` is the share of the tool's area that
    cuts, to a billionth. ``pair`` says which of the plan's tools makes it, ``turned`` by 90 degrees
    or not.
    """

    number: int
    x_mm: float
    y_mm: float
    bite: float
    kind: HitKind = "full"
    pair: int = 0
    turned: bool = False

    def __post_init__(self) -> None:
        # The dust of arithmetic would write one bite of 62.5 % as 62 % and the next as 63 %.
        object.__setattr__(self, "bite", round(self.bite, 9))

    def as_json(self) -> dict[str, Any]:
        """The hit for programs."""
        return {
            "number": self.number,
            "x_mm": round(self.x_mm, 6),
            "y_mm": round(self.y_mm, 6),
            "bite": round(self.bite, 6),
            "kind": self.kind,
            "pair": self.pair,
            "turned": self.turned,
        }


@dataclass(frozen=True, slots=True)
class HitPlan:
    """All hits of a feature in their order, and the asks of a single hit, one for each pair.

    The union of the hits is the feature within ``cusp_mm``. The findings hold the bite, overlap
    and web limits; a plan with a refusal is shown as a near miss only. ``how`` says what is done
    with which tools, ``governing`` is the limit that governs it, where one is named.
    """

    asks: tuple[Ask, ...]
    hits: tuple[Hit, ...]
    findings: tuple[Finding, ...]
    how: str
    cusp_mm: float = 0.0
    governing: Finding | None = None

    @property
    def text(self) -> str:
        """What is done, and the limit that governs."""
        return f"{self.how}; what governs: {self.governing.text}" if self.governing else self.how

    def of_pair(self, pair: int) -> tuple[Hit, ...]:
        """The hits that one pair makes."""
        return tuple(hit for hit in self.hits if hit.pair == pair)

    def as_json(self) -> dict[str, Any]:
        """The plan for programs."""
        return {
            "text": self.text,
            "cusp_mm": round(self.cusp_mm, 6),
            "hits": [hit.as_json() for hit in self.hits],
        }


class SeveralHits:
    """How smaller tools make a feature that no single tool makes; none does, unless a kind says."""

    def needs(self) -> tuple[Need, ...]:
        """The leading tools that could, each smaller than the feature."""
        return ()

    def plans(self, smaller: Sequence[Tool]) -> Iterable[HitPlan]:
        """The ways to make the feature with some of them, the best first."""
        return ()


@dataclass(frozen=True)
class Answers(ABC, Generic[AskT, CaseT]):
    """What a kind of feature answers to an ask in its case. Every answer is pure.

    The first six every kind gives; the others it gives where it has something special to say.
    ``part_word`` is what one stroke makes: a hole, a cut, an end. ``strokes`` is how many wear the
    tools for each part.
    """

    ask: AskT
    case: CaseT

    part_word: ClassVar[str] = "hole"
    strokes: ClassVar[int] = 1

    @abstractmethod
    def needs(self) -> tuple[Need, ...]:
        """What tooling could serve, the leading role first."""

    @abstractmethod
    def judge(self, tooling: ToolingSet) -> list[Finding]:
        """What the rules say of a set of tooling, in the order they are checked.

        What refuses a set refuses every larger one; a role that it lacks is not missed here.
        """

    @abstractmethod
    def figures(self, tooling: ToolingSet) -> dict[str, float]:
        """Force, clearance and the like of a set; a figure that is not known is left out."""

    @abstractmethod
    def ideal(self, seat: Seat, role: str, beside: Mapping[str, Tool]) -> Tool | None:
        """The tool one would order in a role for a seat, beside tools that are there already."""

    @abstractmethod
    def workarounds(self, refused: frozenset[str]) -> list[Workaround]:
        """What to do without the tooling, given the rules that refused."""

    @abstractmethod
    def picture(self, tooling: ToolingSet, plan: HitPlan | None) -> Picture:
        """The pair, the hits or the cut as a drawing, in mm."""

    @property
    def mounted_need(self) -> tuple[str, str] | None:
        """Role and profile of what must stand mounted at the station itself, such as a blade."""
        return None

    @property
    def several_hits(self) -> SeveralHits:
        """How smaller tools would make it in several hits."""
        return SeveralHits()

    def method(self, tooling: ToolingSet | None) -> HoleMethod | None:
        """How the code wants it made, and how a pick makes it; None where no code rules it."""
        return None

    @property
    def feature_findings(self) -> tuple[Finding, ...]:
        """What the rules say of the finished feature where it stands, whatever tool makes it."""
        return ()

    def order_spec(self, tool: Tool, tooling: ToolingSet) -> ToolSpec:
        """All that is to be known of a tool to order: for this work, in that station.

        A die says the punch that stands beside it.
        """
        punch = tooling.tool("punch") if tool.role == "die" else None
        return replace(
            spec_of_tool(tool),
            punch_width_mm=punch.width_mm if punch else None,
            punch_long_mm=punch.long_mm if punch else None,
            for_thickness_mm=self.case.plate.thickness_mm,
            for_material=self.case.plate.material.name,
            for_station=tooling.station.label,
            job=self.case.facts.job,
        )

    def judge_piece(self, tool: Tool, severity_each: float) -> list[Finding]:
        """What the rules say of one piece by itself, each part costing it so much wear."""
        return list(piece_findings(tool, severity_each, self.case, self.part_word))

    def judge_together(self, tooling: ToolingSet) -> list[Finding]:
        """What the rules say of these very pieces together, beyond what their designs say."""
        return []

    def closeness_mm(self, tooling: ToolingSet) -> float:
        """How far a set that serves is from the best one; smaller is better."""
        return 0.0

    def severity_each(self, tooling: ToolingSet, role: str) -> float:
        """Weighted strokes that one part costs the tool in a role; also before any is chosen."""
        return self.strokes * hit_severity(self.case).total


@dataclass(frozen=True, slots=True)
class FeatureKind:
    """How one kind of feature is written: its first word, a right example, its reader.

    ``tools`` are the sorts of tools that its asks need or want mounted; ``forms`` the usual ways
    to say it, with places to fill in.
    """

    word: str
    example: str
    read: Callable[[Words, Reading], Ask]
    meaning: str
    also: tuple[str, ...] = ()
    tools: tuple[AskedTool, ...] = ()
    forms: tuple[PhraseForm, ...] = ()
