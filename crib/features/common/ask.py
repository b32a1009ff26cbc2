"""What every kind of feature shares: the plate, what an ask must answer, and how a kind is written.

A feature file defines one frozen dataclass that keeps to ``Ask`` and one ``FEATURE`` that says how
its phrase is read. Nothing else has to know of it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, Literal, Protocol

from crib import units
from crib.errors import BadInput
from crib.features.common.findings import Finding
from crib.features.common.hole_method import HoleMethod
from crib.features.common.phrase import TAIL_WORDS, Words
from crib.features.common.sizes import size_word
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.trade.metal.gauges import gauge_thickness_mm
from crib.trade.metal.materials import Material
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.hit_plan import HitPlan
    from crib.features.common.picture import Picture

Appearance = Literal["any", "finish", "rough"]


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What is known around an ask: how many, for which job, which code, what the certificate says.

    ``appearance`` is finish (seen, or stainless), rough (hidden), or any. ``to_ream`` marks a hole
    that is punched under size and reamed afterwards.
    """

    quantity: int = 1
    per_part: int = 1
    job: str = ""
    appearance: Appearance = "any"
    code: str = ""
    execution_class: int | None = None
    dynamic: bool = False
    dry: bool = False
    cert_yield_mpa: float | None = None
    cert_tensile_mpa: float | None = None
    to_ream: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """The crib's own way of reading: its unit and its rules."""

    rules: Rules

    @property
    def system(self) -> System:
        """The unit of a bare number."""
        return "mm" if self.rules.text("crib.unit") == "mm" else "in"


@dataclass(frozen=True, slots=True)
class Plate:
    """What is worked: thickness and material; ``assumed`` when the phrase named no material."""

    thickness_mm: float
    material: Material
    assumed: bool = False
    gauge: int | None = None

    def phrase(self, system: System) -> str:
        """The plate as the end of a phrase."""
        if self.gauge is not None:
            return f"thru {self.gauge}ga {self.material.name}"
        thickness = size_word(self.thickness_mm, system)
        if system == "in":
            thickness = thickness.removesuffix("in")
        return f"thru {thickness} {self.material.name}"


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


@dataclass(frozen=True, slots=True)
class Workaround:
    """Something to do meanwhile; ``ask`` is a phrase to try, when there is one."""

    text: str
    ask: str | None = None
    cost_rank: int = 50


class Ask(Protocol):
    """A feature wanted in a plate. Every method is pure.

    ``part_word`` is what one stroke makes: a hole, a cut, an end.
    """

    part_word: ClassVar[str]

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

    def with_tail(self, words: Words, reading: Reading) -> Ask:
        """The ask with what more of it stands after the plate, such as distances."""
        ...

    def method(self, rules: Rules, facts: Circumstances) -> HoleMethod | None:
        """How the job's code wants the hole made; None without a code, or where none rules it."""
        ...

    def judge_feature(self, rules: Rules, facts: Circumstances) -> tuple[Finding, ...]:
        """What the rules say of the finished feature where it stands, whatever tool makes it."""
        ...

    def needs(self, rules: Rules, facts: Circumstances) -> tuple[Need, ...]:
        """What tooling could serve, the leading role first."""
        ...

    def mounted_need(self) -> tuple[str, str] | None:
        """Role and profile of what must stand mounted at the station itself, such as a blade."""
        ...

    def plan_needs(self, rules: Rules, facts: Circumstances) -> tuple[Need, ...]:
        """What leading tools, each smaller than the feature, could make it in several hits."""
        ...

    def plans(
        self, smaller: Sequence[Tool], rules: Rules, facts: Circumstances
    ) -> Sequence[HitPlan]:
        """The ways to make the feature in several hits of smaller tools, the best first."""
        ...

    def picture(
        self, tooling: ToolingSet, plan: HitPlan | None, rules: Rules, facts: Circumstances
    ) -> Picture:
        """The pair, the hits or the cut as a drawing, in mm."""
        ...

    def judge(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> list[Finding]:
        """What the rules say of a set of tooling, in the order they are checked.

        What refuses a set refuses every larger one; a role that it lacks is not missed here.
        """
        ...

    def judge_piece(
        self, tool: Tool, severity_each: float, rules: Rules, facts: Circumstances
    ) -> list[Finding]:
        """What the rules say of one piece by itself, each part costing it so much wear."""
        ...

    def closeness_mm(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> float:
        """How far the set is from the policy's clearance; smaller is better."""
        ...

    def figures(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> dict[str, float]:
        """Force, clearance and the like of a set, for the answer."""
        ...

    def ideal(
        self, seat: Seat, role: str, beside: dict[str, Tool], rules: Rules, facts: Circumstances
    ) -> Tool | None:
        """The tool one would order in a role for a seat, beside tools that are there already."""
        ...

    def order_text(
        self, tool: Tool, quantity: int, tooling: ToolingSet, rules: Rules, facts: Circumstances
    ) -> str:
        """The complete order line for a tool that is not there."""
        ...

    def severity_each(
        self, tooling: ToolingSet, role: str, rules: Rules, facts: Circumstances
    ) -> float:
        """Weighted strokes that one part costs the tool in a role; also before any is chosen."""
        ...

    def workarounds(
        self, refused: frozenset[str], rules: Rules, facts: Circumstances
    ) -> list[Workaround]:
        """What to do without the tooling, given the rules that refused."""
        ...


@dataclass(frozen=True, slots=True)
class FeatureKind:
    """How one kind of feature is written: its first word, a right example, its reader."""

    word: str
    example: str
    read: Callable[[Words, Reading], Ask]
    meaning: str
    also: tuple[str, ...] = ()


def read_plate(words: Words, reading: Reading, example: str) -> Plate:
    """Read ``thru THICKNESS [MATERIAL]``.

    Raises:
        BadPhrase: for a thickness or a material that cannot be read.
    """
    words.expect("thru", example)
    gauges: list[int] = []

    def read(text: str) -> float:
        gauge = units.read_gauge(text)
        if gauge is not None:
            gauges.append(gauge)
            return 0.0
        return units.read_length_mm(text, reading.system)

    begins = words.place()[0]
    thickness_mm = words.take_quantity(read, "a thickness", example)
    ends = words.taken_to
    name, start, end = words.take_until(*TAIL_WORDS)
    try:
        material = reading.rules.material(name or reading.rules.text("material.default"))
        if gauges:
            start, end = begins, ends
            thickness_mm = gauge_thickness_mm(gauges[0], material.gauge_system)
    except BadInput as error:
        raise words.wrong(start, end, error.message, error.way_out or example) from error
    return Plate(thickness_mm, material, not name, gauges[0] if gauges else None)


def read_two_sizes(words: Words, reading: Reading, what: str, example: str) -> tuple[float, float]:
    """Read ``SIZE x SIZE`` and give the smaller first [mm].

    Raises:
        BadPhrase: for sizes that cannot be read.
    """
    first_mm = words.take_length_mm(reading.system, what, example)
    words.expect("x", example)
    second_mm = words.take_length_mm(reading.system, what, example)
    return min(first_mm, second_mm), max(first_mm, second_mm)
