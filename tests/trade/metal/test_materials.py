"""The materials table, its names and what a shop may change."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue, UnknownName, UnsureName
from crib.trade.metal.force import rule_80_shear_mpa
from crib.trade.metal.materials import (
    CHANGEABLE,
    Material,
    change_limits,
    check_change,
    find_material,
    known_materials,
    misspelt,
    with_changes,
    yield_at_mpa,
)

_ONE_GRADE = {"mild", "duplex", "gi", "galv", "titan"}
"""Words without figures, short enough to be made up, that stand for one grade of the table."""
_NO_GRADE = (
    "MS, HR, CS, HRPO, CRS, plate, Blech, Stahl, Baustahl, Edelstahl, VA, V2A, V4A, stainless, Q&T,"
    " hot rolled, carbon steel, stainless steel, wear plate, high carbon, n/a"
)
_MATERIALS = st.sampled_from(known_materials())


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("A36", "A36"),
        ("a36", "A36"),
        ("A-36", "A36"),
        ("ASTM A36", "A36"),
        ("mild", "A36"),
        ("Mild Steel", "A36"),
        ("A572 Gr 50", "A572-50"),
        ("A572 Gr. 50", "A572-50"),
        ("a572-50", "A572-50"),
        ("S355JR", "S355"),
        ("s355 j2+n", "S355"),
        ("304L", "304L"),
        ("1.4404", "316L"),
        ("350w", "350W"),
        ("Grade 350", "AS350"),
        ("CSA 350W", "350W"),
        ("A709 Gr 100", "A514"),
        ("s690ql", "S690"),
        ("S460M", "S460"),
        ("2205", "2205"),
        ("4140 annealed", "4140-annealed"),
        ("ss304", "304"),
        ("SS 304", "304"),
        ("AISI 304", "304"),
        ("304 stainless steel", "304"),
        ("St 37-2", "S235"),
        ("1.0570", "S355"),
        ("verzinkt", "Galvanized"),
        ("SAE 1045", "1045"),
        ("1018 cd", "1018-CD"),
        ("6061", "6061-T6"),
        ("ti-6al-4v", "Ti-6Al-4V"),
        ("galvanised", "Galvanized"),
    ],
)
def test_a_material_is_found_however_it_is_written(written: str, name: str) -> None:
    assert find_material(written).name == name


@pytest.mark.parametrize(
    ("written", "nearest"),
    [("galvanzied", "Galvanized"), ("titanum", "Ti-6Al-4V"), ("weathring steel", "A588")],
)
def test_a_slip_of_the_pen_is_refused_with_the_nearest_name(written: str, nearest: str) -> None:
    with pytest.raises(UnknownName, match=f"unknown material '{written}'; nearest: {nearest};"):
        find_material(written)


@pytest.mark.parametrize(
    "written",
    [
        *("", "   ", "qqq", "A", "astm", "A573-50", "6016-T6", "A709-110", "4340", "S960QL"),
        *("AR600", "S700", "plywood", "350", "S335"),
    ],
)
def test_another_grade_is_refused_with_the_whole_list_strongest_first(written: str) -> None:
    with pytest.raises(UnknownName, match=r"unknown material '.*known, strongest first: AR500, "):
        find_material(written)


def _named_in_the_refusal(written: str, but: Material) -> list[Material]:
    """What a refusal holds out first, as though one of the materials were not known."""
    others = [one for one in known_materials() if one is not but]
    return [one for one in others for name in (one.name, *one.aliases) if misspelt(written, name)]


def test_no_refusal_names_a_softer_steel_first() -> None:
    """Over all pairs: of each grade left out, what its names would be taken for is no softer."""
    for unknown in known_materials():
        for written in (unknown.name, *unknown.aliases):
            near = _named_in_the_refusal(written, unknown)
            hardest = max((one.upper_tensile_mpa or 0.0 for one in near), default=None)
            assert hardest is None or hardest >= (unknown.upper_tensile_mpa or 0.0), written


@pytest.mark.parametrize(
    ("standard", "names"),
    [
        ("4140", ["4140-HT", "4140-annealed"]),
        ("1018", ["1018-CD", "1018-HR"]),
        ("A500", ["A500-C", "A500-B"]),
        ("astm a572", ["A572-65", "A572-60", "A572-55", "A572-50", "A572-42"]),
    ],
)
def test_a_standard_without_its_grade_is_asked_back(standard: str, names: list[str]) -> None:
    with pytest.raises(UnsureName) as caught:
        find_material(standard)
    assert list(caught.value.readings) == names


@pytest.mark.parametrize("family", ["steel", "aluminium", "ss"])
def test_a_word_for_several_names_the_strongest_first(family: str) -> None:
    with pytest.raises(UnsureName) as caught:
        find_material(family)
    strengths = [find_material(name).upper_tensile_mpa or 0.0 for name in caught.value.readings]
    assert strengths == sorted(strengths, reverse=True)
    assert len(strengths) > 3


@given(
    word=st.one_of(
        st.sampled_from(_NO_GRADE.split(", ")),
        st.from_regex(r"[A-Za-z]{1,3}[ -]?[0-9]{0,3}[A-Za-z]{0,2}", fullmatch=True),
    )
)
def test_a_word_that_names_no_grade_is_never_taken_for_one(word: str) -> None:
    """What is found has the figures of the word in its names, or is its family's only one."""
    found = None
    with suppress(UnknownName, UnsureName):
        found = find_material(word)
    if found is None:
        return
    figures = "".join(sign for sign in word if sign.isdigit())
    known = ["".join(filter(str.isdigit, one)) for one in (found.name, *found.aliases)]
    assert figures in known
    assert figures or word.casefold() in _ONE_GRADE


@pytest.mark.parametrize(
    ("word", "among"),
    [("MS", "A36"), ("hot rolled", "S355"), ("stainless", "2205"), ("wear plate", "AR500")],
)
def test_a_word_for_several_grades_is_asked_back(word: str, among: str) -> None:
    with pytest.raises(UnsureName, match="may be one of several materials") as caught:
        find_material(word)
    assert among in caught.value.readings


def test_no_two_materials_share_a_name() -> None:
    for material in known_materials():
        for name in (material.name, *material.aliases):
            assert find_material(name) is material


def test_no_alias_is_empty() -> None:
    for material in known_materials():
        assert all(alias.strip() for alias in material.aliases)


def _figures(material: Material) -> list[tuple[str, float | None, str]]:
    strength = material.strength_source
    return [
        ("multiplier", material.multiplier, material.multiplier_source),
        ("yield", material.yield_mpa, strength),
        ("tensile", material.tensile_mpa, strength),
        ("most tensile", material.tensile_max_mpa, strength),
        ("upper tensile", material.upper_tensile_mpa, material.upper_source),
        ("shear", material.shear_mpa, strength),
        ("ratio", material.min_hole_ratio, material.ratio_source),
        ("clearance", material.tool_life_clearance_pct, material.clearance_source),
        ("wear", material.wear_factor, material.wear_source),
    ]


@pytest.mark.parametrize("material", known_materials(), ids=lambda material: material.name)
def test_every_figure_of_a_material_is_sensible_and_has_a_source(material: Material) -> None:
    for what, figure, source in _figures(material):
        assert figure is None or figure > 0, what
        assert figure is None or source, what


@pytest.mark.parametrize("material", known_materials(), ids=lambda material: material.name)
def test_the_strengths_of_a_material_are_in_order(material: Material) -> None:
    tensile = material.tensile_mpa or float("inf")
    assert (material.shear_mpa or 0) < tensile
    assert (material.yield_mpa or 0) < tensile
    assert (material.tensile_max_mpa or tensile) >= tensile
    assert material.upper_tensile_mpa is not None
    assert material.upper_tensile_mpa >= (material.tensile_max_mpa or material.tensile_mpa or 0)


@pytest.mark.parametrize("material", known_materials(), ids=lambda material: material.name)
def test_a_multiplier_covers_the_least_strength_of_its_material(material: Material) -> None:
    steel = material.family not in ("aluminium", "copper", "brass")
    least_mpa = (0.8 if steel else 0.6) * (material.tensile_mpa or 0.0)
    if material.family not in ("aluminium", "copper", "brass") or material.shear_mpa is None:
        assert rule_80_shear_mpa(material.multiplier or 0.0) >= least_mpa - 1.0


@pytest.mark.parametrize("material", known_materials(), ids=lambda material: material.name)
def test_thicker_plate_never_yields_later(material: Material) -> None:
    yields = [yield_at_mpa(material, thickness_mm) for thickness_mm in (3.0, 16.0, 20.0, 45.0)]
    assert yields[0] == material.yield_mpa
    if yields[0] is not None:
        assert yields == sorted(yields, key=lambda mpa: -(mpa or 0))


def test_the_low_carbon_stainless_steels_have_values_of_their_own() -> None:
    for name in ("304L", "316L"):
        low, plain = find_material(name), find_material(name.removesuffix("L"))
        assert (low.yield_mpa, low.tensile_mpa) == (170, 485)
        assert (plain.yield_mpa, plain.tensile_mpa) == (205, 515)


@pytest.mark.parametrize("material", known_materials(), ids=lambda material: material.name)
def test_what_can_be_punched_has_all_it_takes_to_judge_it(material: Material) -> None:
    if material.punchable:
        assert material.multiplier is not None
        assert material.min_hole_ratio is not None
        assert material.wear_factor is not None


@pytest.mark.parametrize(
    ("family", "ratio", "clearance_pct", "wear", "dry"),
    [
        ("mild", 1.0, 15, 1.0, 1.5),
        ("hsla", 1.15, 18, 1.25, 1.5),
        ("stainless", 1.33, 22, 2.5, 2.0),
        ("aluminium", 0.8, 12, 0.6, 2.0),
        ("quenched", 2.0, 20, 4.0, 1.5),
        ("high_carbon", 1.5, 20, 2.0, 1.5),
    ],
)
def test_a_family_shares_its_shop_figures(
    family: str, ratio: float, clearance_pct: float, wear: float, dry: float
) -> None:
    seen = {
        (m.min_hole_ratio, m.tool_life_clearance_pct, m.wear_factor, m.dry_factor)
        for m in known_materials()
        if m.family == family and m.name not in ("Galvanized", "4140-HT")
    }
    assert seen == {(ratio, clearance_pct, wear, dry)}


def test_galvanized_sheet_wears_more_and_has_its_own_gauges() -> None:
    sheet = find_material("galvanized")
    assert (sheet.family, sheet.wear_factor, sheet.gauge_system) == ("mild", 1.3, "GSG")


@pytest.mark.parametrize("name", ["AR400", "AR500", "4140-HT", "Ti-6Al-4V"])
def test_what_should_not_be_punched_says_so(name: str) -> None:
    assert not find_material(name).punchable


def test_a_shop_lays_its_own_figures_over_the_table() -> None:
    changed = with_changes(find_material("A36"), multiplier=1.25, wear_factor=1.1)
    assert (changed.multiplier, changed.wear_factor, changed.min_hole_ratio) == (1.25, 1.1, 1.0)
    assert changed.multiplier_source == changed.wear_source == "shop rule (set by this shop)"
    assert changed.ratio_source == find_material("A36").ratio_source
    assert find_material("A36").multiplier == 1.0


@given(_MATERIALS)
def test_changing_nothing_changes_nothing(material: Material) -> None:
    assert with_changes(material) == material


@pytest.mark.parametrize("field", CHANGEABLE)
@pytest.mark.parametrize("material", known_materials(), ids=lambda material: material.name)
def test_a_figure_may_go_to_its_limits_and_no_further(material: Material, field: str) -> None:
    least, most = change_limits(material, field)
    figure: float | None = getattr(material, field)
    assert CHANGEABLE[field][0] <= least < most <= CHANGEABLE[field][1]
    assert figure is None or least <= figure <= most
    check_change(material, field, least)
    check_change(material, field, most)
    for outside in (least * 0.99, most * 1.01):
        with pytest.raises(BadValue, match=f"{field}=.* must be {least:g} to {most:g} for"):
            check_change(material, field, outside)
    with pytest.raises(BadValue, match=f"{field}=nan must be > 0"):
        check_change(material, field, float("nan"))


def test_the_limits_stay_those_of_the_table_whatever_a_shop_has_set() -> None:
    changed = with_changes(find_material("A36"), multiplier=0.85)
    assert change_limits(changed, "multiplier") == (0.85, 1.6)


def test_a_figure_that_is_not_the_shops_to_set_is_refused() -> None:
    with pytest.raises(UnknownName, match="unknown material figure 'tensile_mpa'; a shop can set"):
        with_changes(find_material("A36"), tensile_mpa=500.0)
