"""What people say in their own way is read where it can mean one thing, and asked back else."""

from __future__ import annotations

import pytest

from crib.errors import AskBack, BadPhrase, UnsurePhrase
from crib.features.common.plate_phrase import Reading
from crib.features.registry import feature_kinds, read_phrase
from crib.trade.metal.materials import known_materials
from tests.features.bench import IN, MM

HOLE = "hole 13/16 thru 3/8 A36"

STRONGEST_FIRST = sorted(known_materials(), key=lambda one: -(one.upper_tensile_mpa or 0.0))
ALUMINIUM = [one.name for one in STRONGEST_FIRST if one.family == "aluminium"]
STAINLESS = [one.name for one in STRONGEST_FIRST if one.family == "stainless"]


@pytest.mark.parametrize(
    ("text", "understood"),
    [
        ("hole 13/16 through 3/8", HOLE),
        ("holes 13/16 thru 3/8", HOLE),
        ("hole 13/16 3/8", HOLE),
        ("hole 13/16 3/8 A36", HOLE),
        ("hole 13/16 thru 3/8 plate", HOLE),
        ("hole 13/16 thru 3/8 thick mild steel plate", HOLE),
        ("13/16 hole thru 3/8", HOLE),
        ("13/16 hole 3/8 plate", HOLE),
        ('13/16" hole 3/8" plate A36', HOLE),
        ("1 hole 3/8 plate", "hole 1 thru 3/8 A36"),
        ('hole 13/16" in 3/8" plate', HOLE),
        ("hole 13/16 in 3/8 plate", HOLE),
        ("hole 1 in in 3/8 plate", "hole 1 thru 3/8 A36"),
        ("slot 13/16 by 2 thru 3/8", "slot 13/16 x 2 thru 3/8 A36"),
        ("bolt M 20 thru 12mm", "bolt M20 per EN 1090-2 thru 12mm A36"),
        ("bolt 3 / 4 thru 1/2", "bolt 3/4 per AISC 360 thru 1/2 A36"),
        ("saddle 1 1 / 2 pipe sch 40", "saddle 1-1/2 pipe sch 40 A53-B"),
        ("1 3/16 hole thru 3/8", "hole 1-3/16 thru 3/8 A36"),
        ("hole 1 1/2 3/8", "hole 1-1/2 thru 3/8 A36"),
        ("oval 13/16 x 2 thru 3/8", "slot 13/16 x 2 thru 3/8 A36"),
        ("13/16 x 2 slot 3/8 plate", "slot 13/16 x 2 thru 3/8 A36"),
        ("notches 2 x 3 thru 1/4", "notch 2 x 3 thru 1/4 A36"),
        ("M20 bolt oversize thru 12mm S355", "bolt M20 oversize per EN 1090-2 thru 12mm S355"),
        ("3/4 bolt 1/2 plate", "bolt 3/4 per AISC 360 thru 1/2 A36"),
        ("corner 3 × 2 thru 1/4", "corner 3 x 2 thru 1/4 A36"),
        ("cut angle 3 x 3 x 1/4 mitre 45", "cut angle 3 x 3 x 1/4 at 45 A36"),
        ("cut angle 3 x 3 x 1/4 miter 45", "cut angle 3 x 3 x 1/4 at 45 A36"),
        ("saddle 1-1/2 pipe centers 48", "saddle 1-1/2 pipe centres 48 A53-B"),
        ("saddle 1-1/2 pipe center 48", "saddle 1-1/2 pipe centres 48 A53-B"),
        ("vee 2 thru 1/4 at 60 A36", "vee 2 thru 1/4 A36 at 60"),
        ("hole 13/16 thru 3/8 edge 2 A36 pitch 3", f"{HOLE} edge 2 pitch 3"),
        ("hole 13/16 thru 3/8 pitch 3 edge 2", f"{HOLE} edge 2 pitch 3"),
        ("hole 13/16 thru 3/8 6061 aluminum", "hole 13/16 thru 3/8 6061-T6"),
        ("hole 13/16 thru 3/8 304 stainless steel", "hole 13/16 thru 3/8 304"),
        ("hole 13/16 thru 3/8 steel A36", HOLE),
    ],
)
def test_what_can_mean_one_thing_is_read(text: str, understood: str) -> None:
    assert read_phrase(text, IN).phrase("in") == understood


@pytest.mark.parametrize(
    ("text", "reading", "readings"),
    [
        ("hole 1 3/8", IN, ["hole 1 thru 3/8"]),
        ("hole 1 3/8 A36", IN, ["hole 1 thru 3/8 A36"]),
        ("notch 2 x 3 1/4", IN, ["notch 2 x 3 thru 1/4"]),
        ("2 holes 13/16", IN, ["hole 2 thru 13/16"]),
        ("2 holes 13/16 thru 3/8", IN, ["hole 13/16 thru 3/8 for 2"]),
        ("2 slots 1 x 2 thru 3/8", IN, ["slot 1 x 2 thru 3/8 for 2"]),
        ("hole 13/16 thru 3 16", IN, ["hole 13/16 thru 3/16"]),
        (
            "hole 13/16 thru 1 3-16",
            IN,
            ["hole 13/16 thru 1-3/16", "hole 13/16 thru 1in 316"],
        ),
        ("hole 20,6 thru 1/2", IN, ["hole 20.6in thru 1/2", "hole 20.6mm thru 1/2"]),
        ("hole 1,200 thru 12", MM, ["hole 1200mm thru 12", "hole 1.200mm thru 12"]),
        ("hole 22 in 12 plate", MM, ["hole 22mm thru 12 plate", "hole 22in thru 12 plate"]),
        ("22 hole 12", MM, ["hole 22 thru 12"]),
        ("hole 22 12 S275", MM, ["hole 22 thru 12 S275"]),
        ("hole 13 20 9/16", IN, ["hole 13 thru 20 9/16"]),
        (
            "hole 1 thru 3/8 aluminium",
            IN,
            [f"hole 1 thru 3/8 {name}" for name in ALUMINIUM],
        ),
        (
            "hole 1 thru 3/8 4140",
            IN,
            ["hole 1 thru 3/8 4140-HT", "hole 1 thru 3/8 4140-annealed"],
        ),
        ("hole 1 thru 3/8 ss", IN, [f"hole 1 thru 3/8 {name}" for name in STAINLESS]),
    ],
)
def test_what_can_mean_two_things_is_asked_back(
    text: str, reading: Reading, readings: list[str]
) -> None:
    with pytest.raises(UnsurePhrase) as caught:
        read_phrase(text, reading)
    assert list(caught.value.readings) == readings
    assert caught.value.code == "ask-back"
    assert isinstance(caught.value, AskBack)


def test_every_reading_that_is_offered_reads() -> None:
    for text in ("hole 1 3/8", "2 holes 13/16", "hole 1 thru 1 3-16", "hole 1 thru 3/8 steel"):
        with pytest.raises(UnsurePhrase) as caught:
            read_phrase(text, IN)
        for reading in caught.value.readings:
            assert read_phrase(reading, IN).feature == "hole"


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        ("hole 20.6 thru 12", ("hole 20.6mm thru 12mm", "hole 20.6in thru 12in")),
        ("hole 13 thru 3", ("hole 13mm thru 3mm", "hole 13in thru 3in")),
        ("hole 13/16 thru 12 edge 40", ("hole 13/16 thru 12mm edge 40mm", "")),
        ("slot 20 x 50 thru 3/8", ("slot 20mm x 50mm thru 3/8", "")),
        ("cut flat 100 x 10", ("cut flat 100mm x 10mm", "")),
        ("cut round 20", ("cut round 20mm", "")),
        ("bend 200 x 6 at 90", ("bend 200mm x 6mm at 90", "")),
    ],
)
def test_a_bare_size_that_nobody_means_in_inches_is_asked_back(
    text: str, readings: tuple[str, str]
) -> None:
    with pytest.raises(UnsurePhrase, match="has no unit") as caught:
        read_phrase(text, IN, typed=True)
    assert caught.value.readings[0] == readings[0]
    assert readings[1] in ("", caught.value.readings[1])
    for reading in caught.value.readings:
        read_phrase(reading, IN, typed=True)


@pytest.mark.parametrize("text", ["hole .8125 thru .375", "hole 0.8125 thru 3/8", "cut round .75"])
def test_a_bare_size_that_nobody_means_in_millimetres_is_asked_back(text: str) -> None:
    with pytest.raises(UnsurePhrase, match="has no unit") as caught:
        read_phrase(text, MM, typed=True)
    assert "in" in caught.value.readings[0]


@pytest.mark.parametrize(
    "text",
    [
        "hole 2 thru 1",
        "hole 13mm thru 3mm",
        "hole 13in thru 3in",
        "notch 7 x 3 thru 1/4",
        "slot 1 x 20 thru 3/8",
        "cut round 3",
        "cut flat 12 x 1",
        "bend 120 x 1/4 at 90",
    ],
)
def test_a_size_that_may_be_meant_is_not_asked_about(text: str) -> None:
    assert read_phrase(text, IN, typed=True) == read_phrase(text, IN)


def _right_phrases() -> list[str]:
    examples = [kind.example for kind in dict.fromkeys(feature_kinds().values())]
    return [
        *examples,
        f"{HOLE} edge 1-1/4 end 2 pitch 3",
        "slot 13/16 x 2 thru 3/8 304 edge 2 sideways",
        "bolt M20 oversize per EN 1090-2 thru 12mm S355",
        "saddle 1-1/2 tube 0.120 wall onto 2 pipe at 60 offset 0.1 A36",
        "saddle 1-1/2 measured 1.9 sch 40",
        "bend 10 x 1/4 at 90 flange 2 A36",
        "cut tube round 1-1/2 x 0.120 at 45 A36",
        "13/16 hole 3/8 plate A36",
    ]


@pytest.mark.parametrize("nonsense", ["banana", "xx", "@"])
@pytest.mark.parametrize("text", _right_phrases())
def test_a_word_that_is_not_understood_is_pointed_at_wherever_it_stands(
    text: str, nonsense: str
) -> None:
    words = text.split()
    for at in range(len(words) + 1):
        said = " ".join((*words[:at], nonsense, *words[at:]))
        place = len(" ".join((*words[:at], ""))) if at else 0
        with pytest.raises(BadPhrase) as caught:
            read_phrase(said, IN)
        assert caught.value.start < place + len(nonsense), said
        assert caught.value.end > place, said


@pytest.mark.parametrize("nonsense", ["7/9banana", "3banana", "-", "=", "½½", "1..2"])
@pytest.mark.parametrize("text", _right_phrases())
def test_a_figure_that_is_not_understood_is_refused_wherever_it_stands(
    text: str, nonsense: str
) -> None:
    words = text.split()
    for at in range(len(words) + 1):
        with pytest.raises(BadPhrase):
            read_phrase(" ".join((*words[:at], nonsense, *words[at:])), IN)
