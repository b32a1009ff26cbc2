"""Where legs stand up along the faces of a profile, and how far a hole is from them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue, Missing, UnknownName
from crib.trade.metal.part_legs import LegFrom, ProfileSection, legs_of, nearest_root

BEAM = ProfileSection("I", 400.0, 300.0, 24.0, 13.5, 27.0)
CHANNEL = ProfileSection("U", 200.0, 80.0, 11.0, 6.0, 13.0)
ANGLE = ProfileSection("L", 80.0, 80.0, 8.0, 8.0, 10.0)
TEE = ProfileSection("T", 150.0, 150.0, 12.0, 8.0, 14.0)
BENT = ProfileSection("C", 200.0, 75.0, 2.0, 2.0, 4.0)


@pytest.mark.parametrize(
    ("section", "face", "y_mm", "name", "away_mm"),
    [
        (CHANNEL, "v", 60.0, "lower flange", 60 - 11 - 13),
        (CHANNEL, "v", 130.0, "upper flange", 200 - 130 - 11 - 13),
        (BEAM, "v", 100.0, "lower flange", 100 - 24 - 27),
        (BEAM, "h", 300.0, "upper flange", 100 - 24 - 27),
        (BEAM, "o", 60.0, "web", 150 - 60 - 6.75 - 27),
        (BEAM, "u", 240.0, "web", 240 - 150 - 6.75 - 27),
        (TEE, "o", 40.0, "web", 75 - 40 - 4 - 14),
        # Of two edges at which the leg may be, one within 11 mm would be cut: it is the other.
        (ANGLE, "v", 55.0, "other leg", 55 - 8 - 10),
        (ANGLE, "u", 25.0, "other leg", 80 - 25 - 8 - 10),
        (CHANNEL, "o", 55.0, "web", 55 - 6 - 13),
        (TEE, "v", 125.0, "other leg", 125 - 12 - 14),
        # Where both may be, the nearer counts.
        (ANGLE, "v", 45.0, "other leg", 80 - 45 - 8 - 10),
        (BENT, "o", 40.0, "web or lip", 75 - 40 - 2 - 4),
    ],
)
def test_the_root_of_the_leg_beside_a_hole(
    section: ProfileSection, face: str, y_mm: float, name: str, away_mm: float
) -> None:
    found = nearest_root(legs_of(section, face), y_mm, 11.0)
    assert found is not None
    assert found[0].name == name
    assert found[1] == pytest.approx(away_mm)


@pytest.mark.parametrize(
    ("section", "face", "heel_mm", "toe_mm"),
    [
        (ANGLE, "v", 45 - 18, 80 - 45 - 18),
        (ANGLE, "u", 45 - 18, 80 - 45 - 18),
        (CHANNEL, "o", 45 - 19, 80 - 45 - 19),
    ],
)
def test_a_shop_may_know_at_which_edge_the_other_leg_is(
    section: ProfileSection, face: str, heel_mm: float, toe_mm: float
) -> None:
    known: dict[LegFrom, float] = {"heel": heel_mm, "toe": toe_mm}
    for leg_from, away_mm in known.items():
        (leg,) = legs_of(replace(section, leg_from=leg_from), face)
        assert leg.certain
        assert leg.away_mm(45.0) == away_mm


@pytest.mark.parametrize(
    ("section", "face"), [(BEAM, "v"), (BEAM, "o"), (CHANNEL, "v"), (TEE, "v"), (BENT, "o")]
)
def test_what_a_shop_says_of_legs_changes_no_other_profile(
    section: ProfileSection, face: str
) -> None:
    assert legs_of(replace(section, leg_from="heel"), face) == legs_of(section, face)


def test_a_plate_has_no_legs() -> None:
    assert legs_of(ProfileSection("B", 100.0, 10.0, 10.0, 10.0), "v") == ()
    assert nearest_root((), 50.0, 11.0) is None


def test_only_an_i_web_and_a_tees_stem_have_legs_both_ways() -> None:
    both = {
        (section.profile, face)
        for section in (BEAM, CHANNEL, ANGLE, TEE, BENT)
        for face in "vo"
        for leg in legs_of(section, face)
        if leg.both_ways
    }
    assert both == {("I", "v"), ("T", "v")}


def test_an_angle_has_one_thickness_wherever_it_is_written() -> None:
    for flange_mm, web_mm in ((8.0, 0.0), (0.0, 8.0)):
        section = ProfileSection("L", 80.0, 80.0, flange_mm, web_mm, 10.0)
        assert [legs_of(section, face)[0].high_mm for face in "vo"] == [18.0, 18.0]


@pytest.mark.parametrize(
    ("section", "face", "what"),
    [
        (ProfileSection("I", 400.0, 300.0, 0.0, 13.5), "v", "flange thickness"),
        (ProfileSection("I", 400.0, 300.0, 24.0, 0.0), "o", "web thickness"),
        (ProfileSection("U", 200.0, 0.0, 11.0, 6.0), "o", "flange width"),
        (ProfileSection("L", 80.0, 80.0, 0.0, 0.0), "v", "flange thickness"),
        (ProfileSection("U", 0.0, 80.0, 11.0, 6.0), "v", "height"),
    ],
)
def test_a_size_that_counts_must_be_known(section: ProfileSection, face: str, what: str) -> None:
    with pytest.raises(Missing, match=f"the section's {what} is not known"):
        legs_of(section, face)


@pytest.mark.parametrize("profile", ["SO", "RU", "M", "RO", ""])
def test_a_section_that_its_letter_does_not_describe_is_refused(profile: str) -> None:
    with pytest.raises(UnknownName, match="is not described by its letter"):
        legs_of(ProfileSection(profile, 100.0, 50.0, 5.0, 5.0), "v")


def test_a_hole_has_a_size() -> None:
    with pytest.raises(BadValue, match="half_mm"):
        nearest_root((), 50.0, 0.0)


@given(st.floats(0, 200), st.sampled_from("vh"))
def test_a_channel_turned_over_is_the_same(y_mm: float, face: str) -> None:
    legs = legs_of(CHANNEL, face)
    one, other = nearest_root(legs, y_mm, 5.0), nearest_root(legs, 200.0 - y_mm, 5.0)
    assert one is not None
    assert other is not None
    assert one[1] == pytest.approx(other[1])


@given(st.floats(24, 100), st.floats(0, 20))
def test_nearer_to_a_flange_is_never_further_from_its_root(y_mm: float, by_mm: float) -> None:
    legs = legs_of(CHANNEL, "v")
    far, near = nearest_root(legs, y_mm, 5.0), nearest_root(legs, y_mm - by_mm, 5.0)
    assert far is not None
    assert near is not None
    assert near[1] <= far[1]
