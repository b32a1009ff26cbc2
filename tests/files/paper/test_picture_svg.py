"""A picture on a screen: nothing in it that a strict page must refuse, and all that is drawn."""

from __future__ import annotations

from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from crib.features.common.picture import Circle, Dimension, Label, Line, Picture
from crib.files.paper.picture_svg import picture_svg

PAIR = Picture(
    "pair <1>",
    (
        Circle(0, 0, 10, "tool"),
        Circle(0, 0, 10.4, "hidden"),
        Line(((-20, -5), (20, -5), (20, 5), (-20, 5)), "fill", closed=True),
        Dimension(-10, 0, 10, 0, -14, '13/16 "<script>'),
        Label(0, 0, "2"),
    ),
)


def test_it_says_its_title_and_its_figures_and_carries_no_style() -> None:
    svg = picture_svg(PAIR).decode()
    root = ElementTree.fromstring(svg)
    assert "style" not in svg
    assert [one.text for one in root.iter() if one.tag.endswith("}title")] == ["pair <1>"]
    assert {"2", '13/16 "<script>'} <= {one.text for one in root.iter()}


@given(st.lists(st.floats(0.5, 400), min_size=1, max_size=5))
def test_all_of_it_lies_within_its_view(radii: list[float]) -> None:
    picture = Picture("", tuple(Circle(one, 0, one) for one in radii))
    root = ElementTree.fromstring(picture_svg(picture))
    wide, high = (float(one) for one in root.attrib["viewBox"].split()[2:])
    for path in (one for one in root if one.tag.endswith("}path")):
        figures = [float(one) for one in path.attrib["d"].strip("MZ").split()]
        assert all(0 <= x <= wide for x in figures[::2])
        assert all(0 <= y <= high for y in figures[1::2])
