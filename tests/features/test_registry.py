"""A kind of feature is one file: dropped into the folder it is found, and nothing else changes."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.errors import BadPhrase
from crib.features import holes, registry
from crib.features.common.case import Circumstances
from crib.features.registry import feature_kinds, read_phrase
from tests.features.bench import IN, INCH_RULES, mounted, tool

MADE_UP = '''
"""A ring: made up for a test."""

from dataclasses import dataclass
from typing import ClassVar

from crib.features.common.plate_phrase import read_plate
from crib.features.holes.punched import Punched, punched_kind
from crib.trade.metal.shapes import Outline


@dataclass(frozen=True)
class Ring(Punched):
    feature: ClassVar[str] = "ring"


def read(words, reading):
    size_mm = words.take_length_mm(reading.system, "the ring's size", "ring 1 thru 1/4")
    return Ring(Outline("round", size_mm, size_mm), read_plate(words, reading, "ring 1 thru 1/4"))


FEATURE = punched_kind(
    "ring", "ring 1 thru 1/4", read, "a made-up ring", also=("circlet",), shape="round"
)
'''


DIMPLE = '''
"""A dimple that a set presses: a whole kind in one file, made up for a test."""

from dataclasses import dataclass
from typing import ClassVar

from crib.features.common.ask import Answers, FeatureKind, Need
from crib.features.common.case import Case, Plate
from crib.features.common.chain_checks import seat_findings
from crib.features.common.picture import Picture
from crib.features.common.plate_phrase import read_plate


@dataclass(frozen=True)
class Dimple:
    plate: Plate
    feature: ClassVar[str] = "dimple"
    work: ClassVar[str] = "press"

    def phrase(self, system):
        return f"dimple {self.plate.phrase(system)}"

    def as_json(self):
        return {"feature": "dimple"}

    def answers(self, rules, facts):
        return DimpleAnswers(self, Case(self.plate, rules, facts))


class DimpleAnswers(Answers[Dimple, Case]):
    def needs(self):
        return (Need("set", "round", 1.0, 2.0, 1.0, 2.0, 1.5, "for dimples", "dimple"),)

    def judge(self, tooling):
        return list(seat_findings(tooling))

    def figures(self, tooling):
        return {"hits": 1.0}

    def ideal(self, seat, role, beside):
        return None

    def order_text(self, tool, quantity, tooling):
        return "1 set for dimples"

    def workarounds(self, refused):
        return []

    def picture(self, tooling, plan):
        return Picture("a dimple", ())


def read(words, reading):
    return Dimple(read_plate(words, reading, "dimple thru 1/4"))


FEATURE = FeatureKind("dimple", "dimple thru 1/4", read, "a made-up dimple")
'''


@pytest.fixture
def one_more_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The folder of features with one more file in it."""
    (tmp_path / "ring.py").write_text(MADE_UP, "utf-8")
    (tmp_path / "dimple.py").write_text(DIMPLE, "utf-8")
    monkeypatch.setattr(holes, "__path__", [*holes.__path__, str(tmp_path)])
    feature_kinds.cache_clear()
    registry._own_file.cache_clear()
    yield
    feature_kinds.cache_clear()
    registry._own_file.cache_clear()
    for name in ("ring", "dimple"):
        sys.modules.pop(f"crib.features.holes.{name}", None)


def test_every_kind_is_found_by_its_words() -> None:
    kinds = feature_kinds()
    assert {kind.word for kind in kinds.values()} >= {
        "hole",
        "bolt",
        "square",
        "rectangle",
        "hexagon",
        "slot",
    }
    for word, kind in kinds.items():
        assert word in (kind.word, *kind.also)
        assert kind.meaning


@pytest.mark.usefixtures("one_more_file")
def test_a_new_kind_is_one_new_file() -> None:
    ask = read_phrase("ring 1 thru 1/4 A36", IN)
    assert (ask.feature, ask.phrase("in")) == ("ring", "ring 1 thru 1/4 A36")
    assert read_phrase("circlet 1 thru 1/4 A36", IN) == ask
    assert read_phrase("ring 1 thru 1/4 A36 edge 2", IN).as_json()["edge_mm"] == 50.8
    with pytest.raises(BadPhrase, match=r"known: .*ring"):
        read_phrase("rung thru", IN)


@pytest.mark.usefixtures("one_more_file")
def test_a_kind_that_gives_seven_answers_has_the_others_already() -> None:
    ask = read_phrase("dimple thru 1/4 A36", IN)
    answers = ask.answers(INCH_RULES, Circumstances(quantity=20_000))
    tooling = mounted(tool("set", 1.5))
    assert [finding.verdict for finding in answers.judge(tooling)] == ["ok"]
    assert answers.severity_each(tooling, "set") == pytest.approx(1 / 4 / (3 / 8))
    rules = [finding.rule for finding in answers.judge_piece(tool("set", 1.5), 1.0)]
    assert rules == ["edge", "lasting"]
    assert (answers.method(tooling), answers.mounted_need, answers.feature_findings) == (
        None,
        None,
        (),
    )
    assert answers.several_hits.needs() == ()
    assert answers.several_hits.plans([tool("set", 1.0)]) == ()
    assert (answers.closeness_mm(tooling), answers.judge_together(tooling)) == (0.0, [])


@pytest.mark.usefixtures("one_more_file")
def test_the_other_kinds_do_not_notice() -> None:
    assert read_phrase("hole 1 thru 1/4 A36", IN).feature == "hole"


def test_without_its_file_the_kind_is_not_known() -> None:
    with pytest.raises(BadPhrase, match="'ring' is not a feature"):
        read_phrase("ring 1 thru 1/4 A36", IN)


def test_reading_a_hole_does_not_read_the_other_kinds_files() -> None:
    code = (
        "import sys; from crib.features.common.plate_phrase import Reading;"
        "from crib.trade.shop.shop_rules import Rules;"
        "from crib.features.registry import read_phrase;"
        "read_phrase('hole 13/16 thru 3/8', Reading(Rules.defaults()));"
        "others = ('slot', 'hexagon', 'bolt', 'saddle', 'cut');"
        "print([name for name in sys.modules if name.startswith('crib.features.')"
        " and name.rpartition('.')[2] in others])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
