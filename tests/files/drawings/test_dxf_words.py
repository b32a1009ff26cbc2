"""The words of a drawing: all shown, what they say offered as acts, nothing of it taken."""

from __future__ import annotations

import pytest
from ezdxf.document import Drawing
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.acts import Act, act, acts_in
from crib.files.drawings.dxf import DrawingFacts
from tests.files.dxf_text import notes, only, plate, read

UNSAID = DrawingFacts()


def with_words(*words: str, unit: int = 4) -> Drawing:
    document = plate(*((200.0, 100.0) if unit == 4 else (8.0, 4.0)), unit=unit)
    for n, one in enumerate(words):
        document.modelspace().add_text(one, dxfattribs={"insert": (n, 300), "layer": "TEXT"})
    return document


def offered(document: Drawing, facts: DrawingFacts = UNSAID) -> list[Act]:
    found = [one for note in read(document, facts).notes for one in acts_in(note.said())]
    return [one for one in found if one.name != "say.take"]


@pytest.mark.parametrize(
    ("words", "unit", "acts"),
    [
        ("THK 10", 4, [act("say.thickness", thickness="10mm")]),
        ("THK. = 3/8", 4, [act("say.thickness", thickness="3/8in")]),
        ("12 mm thick", 1, [act("say.thickness", thickness="12mm")]),
        (
            'PL 3/8" A36',
            1,
            [act("say.thickness", thickness="3/8in"), act("say.material", material="A36")],
        ),
        ("t = 8", 4, [act("say.thickness", thickness="8mm")]),
        ("t=0,5", 1, [act("say.thickness", thickness="0.5in")]),
        ("QTY 24", 4, [act("say.quantity", quantity=24)]),
        ("24 OFF", 4, [act("say.quantity", quantity=24)]),
        ("Stk: 6", 4, [act("say.quantity", quantity=6)]),
        ("S355", 4, [act("say.material", material="S355")]),
        ("MATERIAL: A572-50", 4, [act("say.material", material="A572-50")]),
        ("Rev A3, M20, drawn 12/04", 4, []),
        ("see sheet 10", 4, []),
        ("THICKNESS see list", 4, []),
    ],
)
def test_what_words_say_is_offered_and_not_taken(words: str, unit: int, acts: list[Act]) -> None:
    document = with_words(words, unit=unit)
    assert offered(document) == acts
    part = only(document, UNSAID)
    assert (part.quantity, part.material, part.web_thickness_mm) == (1, "", 0.0)
    assert f"TEXT on layer 'TEXT': {words!r}" in notes(document, facts=UNSAID)


@given(words=st.text(st.characters(codec="ascii", exclude_categories=["Cc"]), max_size=60))
@settings(max_examples=30, deadline=None)
def test_any_words_are_shown_and_change_no_count(words: str) -> None:
    # These two begin codes for special signs.
    plain = " ".join(words.replace("%", "_").replace("^", "_").split())
    document = with_words(plain)
    document.modelspace().add_circle((50, 50), 9)
    assert [one.size_mm for one in only(document).features] == [18.0]
    if plain:
        assert repr(plain) in notes(document)


def test_a_thickness_that_was_told_is_held_against_the_words() -> None:
    document = with_words("THK 10")
    assert offered(document, DrawingFacts(thickness_mm=10.0)) == []
    said = notes(document, facts=DrawingFacts(thickness_mm=12.0))
    assert "'THK 10', 10mm thick, read as 12 mm as told" in said


def test_words_of_every_sort_of_entity_are_shown() -> None:
    document = plate(200.0, 100.0)
    model = document.modelspace()
    model.add_mtext("ALL HOLES\\P%%c18")
    block = document.blocks.new("MARK")
    block.add_attdef("NAME", (0, 0))
    model.add_blockref("MARK", (5, 5)).add_attrib("NAME", "P-7 QTY 3")
    model.add_linear_dim((0, -20), (7, 3), (207, 3), text="200 TYP").render()
    said = notes(document)
    assert "MTEXT on layer '0': 'ALL HOLES Ø18'" in said
    assert "ATTRIB on layer '0': 'P-7 QTY 3', 3 pieces" in said
    assert "'200 TYP'" in said


def test_very_many_words_are_shown_in_part_and_what_offers_something_always() -> None:
    document = with_words(*(f"note {n}" for n in range(40)), "THK 10")
    said = notes(document, facts=UNSAID)
    assert "20 more texts are not shown" in said
    assert "10mm thick" in said


@pytest.mark.parametrize(
    ("words", "drawn", "says"),
    [
        ("4X", 1, "says 4: 1 such is drawn and counted"),
        ("4 x %%c18", 2, "says 4: 2 such are drawn and counted"),
        ("6 HOLES", 2, "says 6: 2 such"),
        ("4X %%c18", 4, ""),
        ("4X %%c99", 2, ""),
        ("PL 200 x 100", 2, ""),
        ("1X", 3, ""),
    ],
)
def test_a_count_in_words_is_held_against_what_is_drawn(words: str, drawn: int, says: str) -> None:
    document = plate(400.0, 100.0)
    model = document.modelspace()
    for n in range(drawn):
        model.add_circle((50 + 60 * n, 50), 9)
    model.add_text(words, dxfattribs={"insert": (40, 60)})
    said = [note.text for note in read(document).notes if "such" in note.text]
    assert len(said) == bool(says)
    assert all(says in text and "hole of 18 mm at x 50, y 50" in text for text in said)
    assert len(only(document).features) == drawn
