"""Laws of reading part files: what is written is read back, and no bytes do harm."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from crib.errors import BadInput
from crib.files.drawings.nc1 import read_nc1
from crib.files.drawings.parts import PartFeature
from tests.files.nc1_text import contour, header, holes, nc1, only

DATA = Path(__file__).parents[1] / "data" / "nc1"
REAL = [path.read_bytes() for path in sorted(DATA.glob("*.[nN][cC]*"))]
LENGTH_MM, HEIGHT_MM = 2000.0, 400.0

quarters = st.integers(min_value=4, max_value=160).map(lambda n: n / 4)
along = st.integers(min_value=0, max_value=7000).map(lambda n: n / 4)
across = st.integers(min_value=0, max_value=1200).map(lambda n: n / 4)
words = st.text(alphabet="ABCDEFGHJKLMNPQRSTUVWXYZ0123456789-+*/ ", min_size=1, max_size=20).map(
    lambda text: " ".join(text.replace("**", "").split()) or "X"
)
TOKENS = (
    *("ST", "BO", "AK", "IK", "SI", "EN", "KO", "v", "o", "u", "h", "x", "**", "l", "g", "w", "t"),
    *("0.00", "22.00", "72.50u", "35.00", "0.00l", "-10", "1e9", "9" * 400, "12rP-1", "10,5"),
    *("\n", "\n", "\n  ", "\r\n", "\t", "\x1a", "\ufeff", "é", ""),
)


@st.composite
def holes_and_slots(draw: st.DrawFn) -> tuple[str, PartFeature]:
    """A line and what it must be read as."""
    face = draw(st.sampled_from("vouh"))
    thickness_mm = {"v": 11.0, "h": 11.0, "o": 17.0, "u": 17.0}[face]
    x, y, diameter = draw(along), draw(across), draw(quarters)
    letter = draw(st.sampled_from(["", "u", "o", "s"]))
    line = f"  {face} {x:10.2f}{letter} {y:10.2f} {diameter:10.2f}"
    long_mm, angle_deg, depth_mm = None, 0.0, None
    if draw(st.booleans()):
        longer = draw(quarters)
        upright = draw(st.booleans())
        line += f" 0.00l {0 if upright else longer:.2f} {longer if upright else 0:.2f} 0.00"
        long_mm, angle_deg = diameter + longer, 90.0 if upright else 0.0
        x, y = x + (0 if upright else longer / 2), y + (longer / 2 if upright else 0)
    elif draw(st.booleans()):
        depth_mm = draw(st.sampled_from([1.0, 5.25, 10.75]))
        line += f" {depth_mm:.2f}"
    made = PartFeature(
        feature="slot" if long_mm else "hole",
        shape="obround" if long_mm else "round",
        size_mm=diameter,
        long_mm=long_mm,
        thickness_mm=thickness_mm,
        face=face,
        x_mm=x,
        y_mm=y,
        angle_deg=angle_deg,
        depth_mm=depth_mm,
        through=depth_mm is None,
    )
    return line, made


@given(
    mark=words,
    material=words,
    texts=st.tuples(words, words, words, words),
    quantity=st.integers(min_value=1, max_value=1_000_000),
    # The same opening at one place is one opening, and what is told of it another law.
    cuts=st.lists(holes_and_slots(), max_size=12, unique_by=lambda cut: (cut[1].x_mm, cut[1].y_mm)),
    ends=st.sampled_from(["\n", "\r\n", "\r"]),
)
@settings(max_examples=100, deadline=None)
def test_a_written_part_is_read_back(
    mark: str,
    material: str,
    texts: tuple[str, ...],
    quantity: int,
    cuts: list[tuple[str, PartFeature]],
    ends: str,
) -> None:
    text = nc1(
        holes(*[line for line, _ in cuts]),
        mark=mark,
        material=material,
        quantity=quantity,
        code="I",
        length=LENGTH_MM,
        height=HEIGHT_MM,
        width=HEIGHT_MM,
        flange=17.0,
        web=11.0,
        texts=texts,
    )
    part = only(text.replace("\n", ends))
    assert (part.mark, part.material, part.quantity) == (mark, material, quantity)
    assert part.text_lines == texts
    assert list(part.features) == [feature for _, feature in cuts]


@given(
    left=st.integers(min_value=1, max_value=100),
    wide=st.integers(min_value=1, max_value=150),
    deep=st.integers(min_value=1, max_value=99),
    hole=st.integers(min_value=1, max_value=40),
)
@settings(max_examples=60, deadline=None)
def test_a_written_notch_and_circle_are_read_back(
    left: int, wide: int, deep: int, hole: int
) -> None:
    right = left + wide
    cut = [(left, 0), (left, deep), (right, deep), (right, 0)]
    ring = [(0, 0), *cut, (300, 0), (300, 100), (0, 100), (0, 0)]
    arcs = [(50, 50, hole), (50 + 2 * hole, 50, hole), (50, 50)]
    circle, notch = only(nc1(contour(ring), contour(arcs, name="IK"))).features
    assert (circle.size_mm, circle.x_mm, circle.y_mm) == (2 * hole, 50 + hole, 50)
    assert (notch.size_mm, notch.depth_mm, notch.x_mm) == (wide, deep, left + wide / 2)


def read_or_refuse(data: bytes) -> None:
    """Anything that comes out but a refusal fails the test."""
    try:
        found = read_nc1(data, "any.nc1")
    except BadInput as caught:
        refusal = caught
    else:
        assert found.as_json()["parts"]
        assert sum(size.count for size in found.counts_by_size()) >= 0
        return
    assert refusal.message
    assert refusal.way_out


@given(data=st.binary(max_size=400))
@settings(max_examples=200, deadline=None)
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    read_or_refuse(data)
    read_or_refuse(b"ST\n" + data)


@given(pieces=st.lists(st.sampled_from(TOKENS), max_size=80))
@settings(max_examples=300, deadline=None)
def test_any_words_of_the_format_below_a_header_are_read_or_refused(pieces: list[str]) -> None:
    read_or_refuse("\n".join([*header(), " ".join(pieces)]).encode())


point = st.tuples(
    st.integers(min_value=-2, max_value=6).map(lambda n: n * 50.0),
    st.integers(min_value=-1, max_value=3).map(lambda n: n * 50.0),
    st.sampled_from([0.0, 0.0, 0.0, 25.0, -25.0, 50.0, -50.0, 1e5]),
)


@given(points=st.lists(point, min_size=1, max_size=12), name=st.sampled_from(["AK", "IK"]))
@settings(max_examples=300, deadline=None)
def test_any_contour_is_recognised_or_noted(
    points: list[tuple[float, float, float]], name: str
) -> None:
    ring = [*points, points[0]]
    found = read_nc1(nc1(contour(ring, name=name)), "any.nc1")
    plain_sheet = {(0.0, 0.0), (300.0, 0.0), (300.0, 100.0), (0.0, 100.0)}
    corners = {(x, y) for x, y, _ in ring}
    assert found.parts[0].features or found.notes or plain_sheet <= corners


@given(which=st.integers(min_value=0, max_value=6), data=st.data())
@settings(max_examples=100, deadline=None)
def test_a_real_file_with_a_few_bytes_changed_is_read_or_refused(
    which: int, data: st.DataObject
) -> None:
    spoiled = bytearray(REAL[which])
    for _ in range(data.draw(st.integers(min_value=1, max_value=4))):
        at = data.draw(st.integers(min_value=0, max_value=len(spoiled) - 1))
        spoiled[at] = data.draw(st.integers(min_value=0, max_value=255))
    read_or_refuse(bytes(spoiled))
