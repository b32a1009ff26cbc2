"""A kind of feature is one file: dropped into the folder it is found, and nothing else changes."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.errors import BadPhrase
from crib.features import holes, registry
from crib.features.registry import feature_kinds, read_phrase
from tests.features.bench import IN

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


FEATURE = punched_kind("ring", "ring 1 thru 1/4", read, "a made-up ring", also=("circlet",))
'''


@pytest.fixture
def one_more_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The folder of features with one more file in it."""
    (tmp_path / "ring.py").write_text(MADE_UP, "utf-8")
    monkeypatch.setattr(holes, "__path__", [*holes.__path__, str(tmp_path)])
    feature_kinds.cache_clear()
    registry._own_file.cache_clear()
    yield
    feature_kinds.cache_clear()
    registry._own_file.cache_clear()
    sys.modules.pop("crib.features.holes.ring", None)


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
