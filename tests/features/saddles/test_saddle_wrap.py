"""The unrolled cut of a saddle, against cylinders that are met point by point."""

from __future__ import annotations

from math import cos, hypot, pi, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.features.registry import read_phrase
from crib.features.saddles.saddle import Saddle
from crib.features.saddles.saddle_wrap import WrapTemplate, contact_radius_mm, wrap_template
from tests.features.bench import IN, INCH

SIX_ON_EIGHT = "saddle 6 pipe sch 40 onto 8 pipe"


def saddle(text: str = SIX_ON_EIGHT) -> Saddle:
    """A phrase in inches."""
    ask = read_phrase(text, IN)
    assert isinstance(ask, Saddle)
    return ask


def wrapped(template: WrapTemplate, x_mm: float, cutback_mm: float) -> tuple[float, float, float]:
    """Where a point of the paper lies once it is wrapped, up to a shift along the branch.

    The header lies along x, the branch rises at its angle in the plane of x and z. Printed side
    out and cut end down, the paper runs to the right: by the right hand about the branch.
    """
    angle = radians(template.saddle.angle_deg)
    theta = 2 * pi * x_mm / template.circumference_mm
    radius = contact_radius_mm(template.saddle, template.contact)
    along, across = (cos(angle), 0.0, sin(angle)), (sin(angle), 0.0, -cos(angle))
    right = (0.0, 1.0, 0.0)
    aside = (0.0, template.saddle.offset_mm, 0.0)
    x, y, z = (
        aside[axis]
        + cutback_mm * along[axis]
        + radius * (cos(theta) * across[axis] + sin(theta) * right[axis])
        for axis in range(3)
    )
    return x, y, z


def shift_mm(template: WrapTemplate, x_mm: float, cutback_mm: float) -> float:
    """How far a wrapped point is pushed along until it touches the header, by halving."""
    angle = radians(template.saddle.angle_deg)
    radius = template.saddle.header_radius_mm

    def outside(push: float) -> bool:
        _x, y, z = wrapped(template, x_mm, cutback_mm + push)
        return hypot(y, z) > radius and z > 0

    low, high = -20 * radius / sin(angle), 20 * radius / sin(angle)
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (low, middle) if outside(middle) else (middle, high)
    return low


@pytest.mark.parametrize("contact", ["bore", "outside"])
@pytest.mark.parametrize(
    "text",
    [
        SIX_ON_EIGHT,
        "saddle 1-1/2 pipe sch 40",
        "saddle 2 pipe sch 80 onto 4 pipe at 45",
        "saddle 2 pipe sch 40 onto 4 pipe at 120 offset 3/4",
        "saddle 1-1/2 tube 0.120 wall onto 3 pipe at 30 offset 1/2",
    ],
)
def test_every_point_of_the_curve_touches_the_header_at_once(text: str, contact: str) -> None:
    template = wrap_template(saddle(text), "bore" if contact == "bore" else "outside")
    shifts = [shift_mm(template, x, y) for x, y in template.curve[::15]]
    assert max(shifts) - min(shifts) < 1e-6


@given(
    angle=st.integers(20, 160),
    header=st.floats(1.0, 3.0),
    aside=st.floats(0.0, 1.0),
)
def test_it_does_so_at_any_angle_and_offset(angle: int, header: float, aside: float) -> None:
    offset = aside * (header - 1) * 0.99 * INCH
    part = f" offset {offset:.4f}mm" if offset > 0.01 else ""
    text = f"saddle 2in tube 0.12in wall onto {2 * header:.4f}in tube at {angle}{part}"
    template = wrap_template(saddle(text), "outside")
    shifts = [shift_mm(template, x, y) for x, y in template.curve[::60]]
    assert max(shifts) - min(shifts) < 1e-5


def test_the_paper_goes_once_round_the_outside_and_closes() -> None:
    template = wrap_template(saddle())
    assert template.circumference_mm == pytest.approx(pi * 6.625 * INCH)
    assert template.curve[0][0] == 0.0
    assert template.curve[-1][0] == template.circumference_mm
    assert template.curve[0][1] == template.curve[-1][1]
    assert min(y for _x, y in template.curve) == pytest.approx(0.0, abs=1e-6)


def test_a_square_cut_has_five_different_ordinates_at_sixteen_lines() -> None:
    """R - sqrt(R² - r²) with R 4.3125 and the bore's r 3.0325: 1.246 in at the throat."""
    lines = wrap_template(saddle()).lines
    assert [line.number for line in lines] == list(range(16))
    assert len({round(line.cutback_mm, 4) for line in lines}) == 5
    throat_in = 4.3125 - (4.3125**2 - 3.0325**2) ** 0.5
    assert lines[0].cutback_mm / INCH == pytest.approx(throat_in, abs=5e-4)
    assert lines[4].cutback_mm == pytest.approx(0.0, abs=1e-9)


def test_the_outside_touches_deeper_than_the_bore() -> None:
    ask = saddle()
    assert wrap_template(ask, "outside").deepest_mm > wrap_template(ask, "bore").deepest_mm


def test_the_lines_lie_on_the_curve() -> None:
    template = wrap_template(saddle("saddle 4 pipe sch 40 onto 8 pipe at 60"), lines=24)
    for line in template.lines:
        assert (line.x_mm, line.cutback_mm) in template.curve
        assert line.x_mm == pytest.approx(template.circumference_mm * line.theta_deg / 360)


@pytest.mark.parametrize(
    ("part", "names"),
    [
        ("", ["throat", "side", "throat", "side", "throat"]),
        ("at 60", ["throat, acute side", "side", "heel, obtuse side", "side"]),
        ("at 120", ["heel, obtuse side", "side", "throat, acute side", "side"]),
        ("offset 1/2", ["throat", "side, offset this way", "throat", "side"]),
    ],
)
def test_the_centre_lines_have_names(part: str, names: list[str]) -> None:
    template = wrap_template(saddle(f"{SIX_ON_EIGHT} {part}"))
    assert [line.name for line in template.centre_lines][: len(names)] == names


def test_the_throat_is_cut_back_the_most_and_the_heel_less() -> None:
    for part in ("at 60", "at 120"):
        template = wrap_template(saddle(f"{SIX_ON_EIGHT} {part}"))
        cut = {round(line.x_mm, 6): line.cutback_mm for line in template.lines}
        cut[round(template.circumference_mm, 6)] = template.lines[0].cutback_mm
        named = {
            line.name.split(",")[0]: cut[round(line.x_mm, 6)] for line in template.centre_lines
        }
        assert named["throat"] == pytest.approx(template.deepest_mm)
        assert named["throat"] > named["heel"]


@pytest.mark.parametrize(("lines", "fault"), [(3, "lines=3"), (73, "lines=73")])
def test_too_few_or_too_many_lines_are_refused(lines: int, fault: str) -> None:
    with pytest.raises(BadValue, match=f"{fault} must be 4 to 72"):
        wrap_template(saddle(), lines=lines)


@pytest.mark.parametrize("lines", [4, 72])
def test_four_and_seventy_two_lines_are_allowed(lines: int) -> None:
    assert len(wrap_template(saddle(), lines=lines).lines) == lines
