"""Phrases are read as people write them, or refused with a finger on the word."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from crib.errors import AskBack, BadInput, BadPhrase
from crib.features.common.ask import Ask
from crib.features.common.phrase import LONGEST_PHRASE, Words
from crib.features.common.plate_phrase import Reading
from crib.features.registry import feature_kinds, read_phrase
from crib.trade.common.published_tables import read_table
from crib.trade.metal.bolt_holes import known_standards
from crib.trade.metal.materials import Material, known_materials
from tests.features.bench import IN, MM, mm

READINGS = {"in": IN, "mm": MM}


def said(text: str) -> list[str]:
    """The words that a phrase falls into."""
    words = Words(text)
    found = []
    while not words.done:
        found.append(words.take().plain)
    return found


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("13/16x2", ["13/16", "x", "2"]),
        ("13/16 x 2", ["13/16", "x", "2"]),
        ("13/16x 2", ["13/16", "x", "2"]),
        ("13/16 x2", ["13/16", "x", "2"]),
        ("13/16×2", ["13/16", "x", "2"]),
        ("13/16 × 2", ["13/16", "x", "2"]),
        ('13/16"x2"', ['13/16"', "x", '2"']),
        ("22MMX50MM", ["22mm", "x", "50mm"]),
        ("1inx.5in", ["1in", "x", ".5in"]),
        ("½x¾", ["½", "x", "¾"]),
        ("3x3x1/4", ["3", "x", "3", "x", "1/4"]),
        ("hex 1", ["hex", "1"]),
        ("max x", ["max", "x"]),
        ("", []),
        ("   ", []),
    ],
)
def test_words_fall_apart_at_spaces_and_at_an_x_between_sizes(text: str, words: list[str]) -> None:
    assert said(text) == words


@pytest.mark.parametrize(
    "text",
    [
        "hole 13/16 thru 3/8 A36",
        "HOLE 13/16 THRU 3/8 a36",
        "  hole   13/16\tthru 3/8\n A36 ",
        "hole .8125 thru .375 A36",
        "hole 0.8125in thru 0.375 in A36",
        'hole 13/16" thru 3/8" mild steel',
        "hole 20.6375mm thru 9.525 mm A36",
        "round 13/16 in thru 3/8 inch A 36",
    ],
)
def test_case_spaces_and_spelling_do_not_matter(text: str) -> None:
    ask = read_phrase(text, IN)
    assert ask.phrase("in") == "hole 13/16 thru 3/8 A36"
    assert (ask.as_json()["size_mm"], ask.plate.thickness_mm) == (20.6375, 9.525)


@pytest.mark.parametrize(
    ("size", "expected_mm"),
    [
        ("1 3/16 in", mm("1-3/16")),
        ("1 3/16", mm("1-3/16")),
        ("1-3/16", mm("1-3/16")),
        ("1-3/16in", mm("1-3/16")),
        ("30 mm", 30.0),
        ("1 in", 25.4),
        ('1 "', 25.4),
    ],
)
def test_a_size_may_stand_in_up_to_three_words(size: str, expected_mm: float) -> None:
    assert read_phrase(f"hole {size} thru 3/8 A36", IN).as_json()["size_mm"] == expected_mm
    ask = read_phrase(f"hole 2 thru {size} A36", IN)
    assert (ask.plate.thickness_mm, ask.plate.material.name) == (expected_mm, "A36")


def test_a_bare_number_is_in_the_cribs_own_unit() -> None:
    assert read_phrase("hole 22 thru 12", MM).as_json()["size_mm"] == 22.0
    assert read_phrase("hole 2 thru 1", IN).as_json()["size_mm"] == 50.8
    assert read_phrase("hole 7/8 thru 1/2", MM).as_json()["size_mm"] == mm("7/8")


@pytest.mark.parametrize("material", known_materials(), ids=lambda one: one.name)
def test_every_name_of_a_material_reads_in_a_phrase(material: Material) -> None:
    for name in (material.name, *material.aliases):
        for thickness in ("3/8", "1", "3/8 in", "12mm"):
            ask = read_phrase(f"hole 13/16 thru {thickness} {name}", IN)
            assert ask.plate.material == material


def test_a_material_that_is_not_named_is_the_cribs_own_and_marked_as_assumed() -> None:
    bare = read_phrase("hole 22 thru 12", MM).plate
    assert (bare.material.name, bare.assumed) == ("S275", True)
    assert not read_phrase("hole 22 thru 12 S275", MM).plate.assumed


@pytest.mark.parametrize(
    ("material", "expected_mm"), [("", 3.416), ("304", 3.571), ("6061", 2.588)]
)
def test_a_gauge_is_a_thickness_of_its_material(material: str, expected_mm: float) -> None:
    for gauge in ("10ga", "10 ga", "10 gauge"):
        ask = read_phrase(f"hole 1/2 thru {gauge} {material}", IN)
        assert ask.plate.thickness_mm == pytest.approx(expected_mm, abs=0.0005)
        assert ask.plate.gauge == 10


@pytest.mark.parametrize(
    ("text", "at_fault", "message"),
    [
        ("hole 13/16 tru 3/8", "tru", "expected 'thru', found 'tru'"),
        ("hole 0,8125 thru 3/8", "0,8125", "comma"),
        ("hole 13/0 thru 3/8", "13/0", "must be 1 to 1000"),
        ("hole abc thru 3/8", "abc", "the hole's diameter"),
        ("hole thru 3/8", "thru", "expected the hole's diameter, found 'thru'"),
        ("hole -1 thru 3/8", "-1", "sign"),
        ("hole 0 thru 3/8", "0", "must be > 0"),
        ("hole 13/16 thru 3/8 unobtainium", "unobtainium", "unknown material"),
        ("hole 13/16 thru 3/8 A36 at 45", "at", "cannot place 'at'"),
        ("hole 13/16 thru 99ga 304", "99ga", "gauge=99 must be"),
        ("hole 13/16 thru 10 ga titanium", "10 ga", "gauge system"),
        ("hoel 13/16 thru 3/8", "hoel", "'hoel' is not a feature; known: .*hexagon, hole"),
        ("slot 13/16 2 thru 3/8", "2", "expected 'x', found '2'"),
        ("slot 1 x 1 thru 3/8", "slot 1 x 1 thru 3/8", "round hole"),
        ("rectangle 1 x thru 1/4", "thru", "the rectangle's sides, found 'thru'"),
        ("bolt 3/5 thru 1/2", "3/5", "unknown bolt"),
        ("bolt thru 1/2", "", "expected a bolt size"),
        ("bolt M20x60 thru 12", "M20x60", "unknown bolt"),
        ("bolt 3/4 per thru 1/2", "", "expected a bolt standard after 'per', found none"),
        ("bolt 3/4 per FOO 9 thru 1/2", "FOO 9", "found 'FOO 9'"),
        ("bolt M20 fine thru 12mm", "M20", "has no fine hole"),
    ],
)
def test_an_error_points_at_the_word_at_fault(text: str, at_fault: str, message: str) -> None:
    with pytest.raises(BadPhrase, match=message) as caught:
        read_phrase(text, IN)
    error = caught.value
    start = text.index(at_fault) if at_fault else error.start
    assert error.text == text
    assert (error.start, error.end) == (start, start + len(at_fault))
    assert error.way_out
    phrase, carets = error.pointer().split("\n")
    assert phrase == text
    assert carets == " " * error.start + "^" * max(1, len(at_fault))


@pytest.mark.parametrize(
    ("text", "at", "message"),
    [
        ("", 0, "no feature named"),
        ("hole", 4, "expected the hole's diameter, the phrase ends here"),
        ("hole 13/16", 10, "expected 'thru', the phrase ends here"),
        ("hole 13/16 thru", 15, "expected a thickness, the phrase ends here"),
        ("slot 13/16 x", 12, "expected the slot's width and overall length, the phrase ends"),
    ],
)
def test_a_phrase_that_ends_too_soon_points_at_its_end(text: str, at: int, message: str) -> None:
    with pytest.raises(BadPhrase, match=message) as caught:
        read_phrase(text, IN)
    assert (caught.value.start, caught.value.end) == (at, at)


def test_a_comma_gets_the_hint_with_a_point() -> None:
    with pytest.raises(BadPhrase, match="comma") as caught:
        read_phrase("hole 0,8125 thru 3/8", IN)
    assert "0.8125" in str(caught.value.way_out)


def test_a_misspelt_feature_gets_the_example_of_the_nearest_one() -> None:
    with pytest.raises(BadPhrase, match="not a feature") as caught:
        read_phrase("rectangel 1 x 2 thru 1/4", IN)
    assert caught.value.way_out == "right: rectangle 1 x 1/2 thru 1/4"


def test_an_endless_phrase_is_refused_before_it_is_read() -> None:
    with pytest.raises(BadPhrase, match="at most 300") as caught:
        read_phrase("hole 1 " + "x" * LONGEST_PHRASE, IN)
    assert len(caught.value.text) < 50


@pytest.mark.parametrize("kind", sorted({one.word for one in feature_kinds().values()}))
def test_the_example_of_every_kind_reads(kind: str) -> None:
    asked = feature_kinds()[kind]
    assert read_phrase(asked.example, IN).feature == kind


PIECES = st.sampled_from(
    [
        "hole", "bolt", "slot", "square", "rectangle", "hexagon", "round", "thru", "x", "×", "for",
        "at", "per", "ream", "M20", "3/4", "13/16", "1", "3/16", "in", "mm", "10ga", "A36", "S355",
        "A572-50", "oversize", "short", "slot", "AISC", "360-22", "-1", "0", "0,5", "1e9", "9" * 30,
        "½", "13/16x2", "nan", "\u202f", "#",
    ]
)  # fmt: skip
ALMOST = st.lists(PIECES, max_size=9).map(" ".join)


@given(text=st.one_of(ALMOST, st.text(max_size=60)), system=st.sampled_from(["in", "mm"]))
@settings(max_examples=400)
@example(text="hole 1 thru 1 \x00", system="in")
@example(text="bolt M x thru 1", system="in")
def test_any_text_is_read_or_refused_and_what_is_read_reads_back_the_same(
    text: str, system: str
) -> None:
    reading = READINGS[system]
    ask = None
    with suppress(BadInput):
        ask = read_phrase(text, reading)
    if ask is None:
        return
    again = read_phrase(ask.phrase(reading.system), reading)
    assert again.phrase(reading.system) == ask.phrase(reading.system)
    assert again.as_json() | {"material_assumed": True} == ask.as_json() | {
        "material_assumed": True
    }


@given(text=ALMOST)
def test_the_finger_of_an_error_is_inside_the_phrase(text: str) -> None:
    caught: list[BadInput] = []
    try:
        read_phrase(text, IN)
    except BadInput as error:
        caught.append(error)
    for told in caught:
        assert isinstance(told, AskBack | BadPhrase)
        if isinstance(told, BadPhrase):
            assert 0 <= told.start <= told.end <= len(told.text)


SIZES = st.one_of(
    st.integers(1, 512).map(lambda n: n * 25.4 / 64),
    st.integers(1, 4000).map(lambda n: n / 10),
    st.floats(0.1, 3000, allow_subnormal=False),
)
MATERIALS = st.sampled_from([material.name for material in known_materials()])


def phrases(size_mm: float, other_mm: float, kind: str) -> str:
    """A phrase of a kind in millimetres, written to the last bit."""
    if kind == "slot" and abs(size_mm - other_mm) < 0.01:
        other_mm = 2 * size_mm
    two = kind in ("slot", "rectangle")
    return f"{kind} {size_mm:.17f}mm" + (f" x {other_mm:.17f}mm" if two else "")


def reads_back(ask: Ask, reading: Reading) -> None:
    assert read_phrase(ask.phrase(reading.system), reading) == ask


@given(
    size_mm=SIZES,
    other_mm=SIZES,
    thickness_mm=SIZES,
    kind=st.sampled_from(["hole", "square", "hexagon", "rectangle", "slot"]),
    material=MATERIALS,
    system=st.sampled_from(["in", "mm"]),
)
def test_every_size_and_plate_reads_back_equal(
    size_mm: float, other_mm: float, thickness_mm: float, kind: str, material: str, system: str
) -> None:
    text = f"{phrases(size_mm, other_mm, kind)} thru {thickness_mm:.17f}mm {material}"
    ask: Any = read_phrase(text, READINGS[system])
    again: Any = read_phrase(ask.phrase(READINGS[system].system), READINGS[system])
    # What no unit writes in four decimals is rounded once, and then stays.
    reads_back(again, READINGS[system])
    assert again.outline.width_mm == pytest.approx(ask.outline.width_mm, abs=0.0001)
    assert again.plate.thickness_mm == pytest.approx(ask.plate.thickness_mm, abs=0.0001)


@pytest.mark.parametrize("system", ["in", "mm"])
@pytest.mark.parametrize("standard", known_standards()[1:])
def test_every_bolt_of_every_table_reads_back_equal(standard: str, system: str) -> None:
    rows = [row for row in read_table("bolt_holes") if row["standard"] == standard]
    assert rows != []
    for row in rows:
        kind = row["hole_type"].replace("_", " ")
        text = f"bolt {row['bolt']} {kind} per {standard} thru 1/2in A36"
        reads_back(read_phrase(text, READINGS[system]), READINGS[system])


@pytest.mark.parametrize("system", ["in", "mm"])
def test_a_gauge_reads_back_as_a_gauge(system: str) -> None:
    ask = read_phrase("hole 1/2 thru 10ga 304", READINGS[system])
    assert "10ga" in ask.phrase(READINGS[system].system)
    reads_back(ask, READINGS[system])
