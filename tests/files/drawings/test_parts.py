"""What all part readers give: phrases for what they found, and the counts by size."""

from __future__ import annotations

import pytest

from crib.errors import BadValue, Missing
from crib.features.common.plate_phrase import Reading
from crib.features.registry import read_phrase
from crib.files.drawings.parts import PartFeature, PartsRead, phrase_of
from crib.units import System
from tests.features.bench import IN, MM
from tests.files.nc1_text import holes, nc1, only

HOLE = PartFeature("hole", "round", 22.0, None, 12.0, "v", 50.0, 40.0)
SLOT = HOLE._replace(feature="slot", shape="obround", long_mm=50.0)
SQUARE = HOLE._replace(feature="square", shape="square")
RECTANGLE = SLOT._replace(feature="rectangle", shape="rectangle")
NOTCH = HOLE._replace(feature="notch", shape="rectangle", depth_mm=35.0)
CORNER = NOTCH._replace(feature="corner", size_mm=17.5)
VEE = NOTCH._replace(feature="vee", shape="special", size_mm=70.0, angle_deg=90.0)


@pytest.mark.parametrize(
    ("feature", "system", "phrase"),
    [
        (HOLE, "mm", "hole 22mm thru 12mm S275"),
        (HOLE, "in", "hole 22mm thru 12mm S275"),
        (HOLE._replace(thickness_mm=11.43), "in", "hole 22mm thru 0.45in S275"),
        (HOLE._replace(size_mm=50.8, thickness_mm=25.4), "in", "hole 2 thru 1 S275"),
        (HOLE._replace(size_mm=20.6375, thickness_mm=9.525), "in", "hole 13/16 thru 3/8 S275"),
        (SLOT, "mm", "slot 22mm x 50mm thru 12mm S275"),
        (SQUARE, "mm", "square 22mm thru 12mm S275"),
        (RECTANGLE, "mm", "rectangle 22mm x 50mm thru 12mm S275"),
        (NOTCH, "mm", "notch 22mm x 35mm thru 12mm S275"),
        (CORNER, "mm", "corner 17.5mm x 35mm thru 12mm S275"),
        (VEE, "mm", "vee 70mm thru 12mm S275 at 90"),
    ],
)
def test_a_feature_has_the_phrase_that_asks_for_it(
    feature: PartFeature, system: System, phrase: str
) -> None:
    assert feature.can_be_asked
    written = phrase_of(feature, "S275", system)
    assert written == phrase
    reading: Reading = MM if system == "mm" else IN
    asked = read_phrase(written, reading).as_json()
    assert asked["feature"] == feature.feature
    assert asked["size_mm"] == feature.size_mm
    assert asked["thickness_mm"] == feature.thickness_mm
    if feature.long_mm:
        assert asked["length_mm"] == feature.long_mm
    if feature.feature in ("notch", "corner"):
        assert asked["depth_mm"] == feature.depth_mm


def test_without_a_material_the_phrase_leaves_it_to_the_crib() -> None:
    assert phrase_of(HOLE, "", "mm") == "hole 22mm thru 12mm"


@pytest.mark.parametrize(
    ("feature", "words"),
    [
        (HOLE._replace(feature="tapped"), "no phrase asks for this: tapped, 22 mm"),
        (HOLE._replace(feature="opening"), "no phrase asks for this: opening, 22 mm"),
        (HOLE._replace(through=False, depth_mm=5.0), "this: hole, 22 mm, not through"),
    ],
)
def test_what_is_not_punched_has_no_phrase(feature: PartFeature, words: str) -> None:
    assert not feature.can_be_asked
    with pytest.raises(BadValue, match=words):
        phrase_of(feature, "S275", "mm")


def test_without_a_thickness_there_is_no_phrase() -> None:
    unknown = HOLE._replace(thickness_mm=None)
    assert not unknown.can_be_asked
    with pytest.raises(Missing, match="the thickness at the hole of 22 mm is not known"):
        phrase_of(unknown, "S275", "mm")


def test_counts_are_over_all_pieces_and_in_order_of_size() -> None:
    many = only(nc1(holes("v 9 9 22", "v 9 9 14", "v 9 9 22 0l 28 0 0"), quantity=3))
    one = only(nc1(holes("v 9 9 22", "v 50 9 22", "v 90 9 22 5")))
    counts = PartsRead((many, one)).counts_by_size()
    assert [(c.feature, c.size_mm, c.long_mm, c.depth_mm, c.count) for c in counts] == [
        ("hole", 14, None, None, 3),
        ("hole", 22, None, None, 5),
        ("hole", 22, None, 5, 1),
        ("slot", 22, 50, None, 3),
    ]
