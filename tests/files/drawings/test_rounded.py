"""Rounded corners written as NC1 and DXF are read back with their radius, whatever the angle."""

from __future__ import annotations

from cmath import rect
from math import radians, tan
from typing import Any

import pytest
from ezdxf.filemanagement import new
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.features.registry import read_phrase
from crib.files.drawings.parts import PartFeature, phrase_of
from tests.features.bench import MM
from tests.files import dxf_text, nc1_text

Corner = tuple[complex, float]
"""A corner and the radius that rounds it."""

_LEFT_TURN = tan(radians(90) / 4)
"""The bulge of a quarter arc to the left."""


def steps(ring: list[Corner]) -> list[tuple[complex, float]]:
    """Points of a ring and the signed radius of the arc that starts there, 0 for a straight."""
    made: list[tuple[complex, float]] = []
    for number, (at, radius) in enumerate(ring):
        before, after = ring[number - 1][0], ring[(number + 1) % len(ring)][0]
        into, out = (at - before) / abs(at - before), (after - at) / abs(after - at)
        if not radius:
            made.append((at, 0.0))
            continue
        left = (into.conjugate() * out).imag > 0
        made += [(at - radius * into, radius if left else -radius), (at + radius * out, 0.0)]
    return made


def as_nc1(opening: list[Corner], outline: list[Corner]) -> tuple[PartFeature, ...]:
    blocks = []
    for name, ring in (("AK", outline), ("IK", opening)):
        points = [(at.real, at.imag, radius) for at, radius in steps(ring)]
        if points:
            lines = [f"  v {x:.4f} {y:.4f} {r:.4f}" for x, y, r in (*points, (*points[0][:2], 0))]
            blocks.append([name, *lines])
    return nc1_text.only(nc1_text.nc1(*blocks)).features


def as_dxf(opening: list[Corner], outline: list[Corner]) -> tuple[PartFeature, ...]:
    document = new("R2010", units=4)
    for ring in (outline, opening):
        points = []
        for at, radius in steps(ring):
            bulge = _LEFT_TURN * (radius > 0) - _LEFT_TURN * (radius < 0)
            points.append((at.real, at.imag, bulge))
        if points:
            document.modelspace().add_lwpolyline(points, format="xyb", close=True)
    return dxf_text.only(document).features


def sheet(*cut: Corner) -> list[Corner]:
    return [(0j, 0.0), *cut, (300 + 0j, 0.0), (300 + 100j, 0.0), (100j, 0.0)]


@pytest.mark.parametrize("write", [as_nc1, as_dxf])
@given(
    short=st.integers(min_value=10, max_value=30),
    more=st.integers(min_value=0, max_value=20),
    share=st.sampled_from([0.1, 0.2, 0.25, 0.4]),
    angle_deg=st.sampled_from([0, 30, 45, 90, 120]),
)
@settings(max_examples=15, deadline=None)
def test_an_opening_keeps_its_radius(
    write: Any, short: int, more: int, share: float, angle_deg: int
) -> None:
    radius = round(share * short, 1)
    turn, away = rect(1.0, radians(angle_deg)), complex((short + more) / 2, short / 2)
    box = (-away, away.conjugate(), away, -away.conjugate())
    ring = [(150 + 50j + corner * turn, radius) for corner in box]
    (one,) = write(ring, sheet())
    assert one.corner_radius_mm == pytest.approx(radius, abs=0.02)
    assert one.size_mm == pytest.approx(short, abs=0.02)
    ask: Any = read_phrase(phrase_of(one, "S275", "mm"), MM)
    assert ask.outline.corner_mm == pytest.approx(radius, abs=0.02)
    assert one.as_json()["corner_radius_mm"] == one.corner_radius_mm


@pytest.mark.parametrize("write", [as_nc1, as_dxf])
@given(
    wide=st.integers(min_value=20, max_value=100),
    deep=st.integers(min_value=12, max_value=40),
    radius=st.sampled_from([0.0, 2.0, 5.0, 9.5]),
)
@settings(max_examples=15, deadline=None)
def test_a_notch_and_a_corner_keep_their_inner_radius(
    write: Any, wide: int, deep: int, radius: float
) -> None:
    left, right = complex(100), complex(100 + wide)
    cut = [(left, 0.0), (left + 1j * deep, radius), (right + 1j * deep, radius), (right, 0.0)]
    (notch,) = write([], sheet(*cut))
    assert (notch.feature, notch.corner_radius_mm) == ("notch", pytest.approx(radius, abs=0.02))
    ask: Any = read_phrase(phrase_of(notch, "S275", "mm"), MM)
    assert ask.corner_radius_mm == pytest.approx(radius, abs=0.02)
    assert ("corner_radius_mm" in notch.as_json()) == bool(radius)
    gone = [(complex(wide), 0.0), (complex(wide, deep), radius), (1j * deep, 0.0)]
    ring = [*gone, (100j, 0.0), (300 + 100j, 0.0), (300 + 0j, 0.0)][::-1]
    (corner,) = write([], ring)
    assert (corner.feature, corner.corner_radius_mm) == ("corner", pytest.approx(radius, abs=0.02))
