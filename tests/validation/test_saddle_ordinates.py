"""Where a branch meets its header, against two reckonings that do not use our formula.

No published table of ordinates was had. The copied figures come from root finding on 3-D points
with 40 digits; the second reckoning walks along each line of the branch until it meets the header.
They are ours, and they check the formula, not a standard.
"""

from __future__ import annotations

from math import cos, hypot, pi, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.trade.metal.saddles import saddle_cutback_mm, saddle_ordinate_mm
from tests.validation.published import rows

_MM = 25.4
_ROWS = rows("saddle_ordinates")
_CASES = sorted({row["case"] for row in _ROWS})


def _meeting(row: dict[str, str]) -> tuple[float, float, float, float]:
    return (
        float(row["header_od_in"]) / 2 * _MM,
        float(row["contact_dia_in"]) / 2 * _MM,
        float(row["branch_angle_deg"]),
        float(row["offset_in"]) * _MM,
    )


def _walked_mm(
    theta_deg: float, header: float, contact: float, angle_deg: float, aside: float
) -> float:
    """Distance along the branch to the header's surface, halving the way 60 times.

    The header lies along x. The branch runs in the plane of x and z, passed by ``aside`` along y.
    """
    angle, theta = radians(angle_deg), radians(theta_deg)

    def outside_header(along: float) -> bool:
        y = aside + contact * sin(theta)
        z = along * sin(angle) - contact * cos(theta) * cos(angle)
        return hypot(y, z) > header

    # The line crosses the header's axis plane at z = 0: it is inside there, and outside far away.
    inside, outside = contact * cos(theta) * cos(angle) / sin(angle), 20 * header
    for _ in range(60):
        middle = (inside + outside) / 2
        inside, outside = (inside, middle) if outside_header(middle) else (middle, outside)
    return inside


@pytest.mark.parametrize("row", _ROWS, ids=lambda row: f"{row['case']}-{row['theta_deg']}")
def test_the_copied_ordinates(row: dict[str, str]) -> None:
    ordinate = saddle_ordinate_mm(float(row["theta_deg"]), *_meeting(row))
    assert ordinate == pytest.approx(float(row["cut_from_header_axis_mm"]), rel=1e-8, abs=1e-6)
    printed = float(row["cut_from_header_axis_in"])
    assert ordinate / _MM == pytest.approx(printed, rel=1e-8, abs=1e-6)


@pytest.mark.parametrize("case", _CASES)
def test_the_copied_cutbacks(case: str) -> None:
    of_case = [row for row in _ROWS if row["case"] == case]
    cuts = saddle_cutback_mm(*_meeting(of_case[0]), lines=16)
    for row in of_case:
        printed = float(row["cutback_mm"])
        cut = cuts[round(float(row["theta_deg"]) / 22.5)]
        assert cut == pytest.approx(printed, rel=1e-7, abs=1e-6)


@given(
    theta=st.floats(min_value=0.0, max_value=360.0),
    header=st.floats(min_value=10.0, max_value=300.0),
    share=st.floats(min_value=0.05, max_value=0.95),
    angle=st.floats(min_value=20.0, max_value=160.0),
    aside=st.floats(min_value=-0.99, max_value=0.99),
)
def test_walking_along_the_branch_meets_the_header_there(
    theta: float, header: float, share: float, angle: float, aside: float
) -> None:
    contact = header * share
    offset = (header - contact) * aside
    walked = _walked_mm(theta, header, contact, angle, offset)
    ordinate = saddle_ordinate_mm(theta, header, contact, angle, offset)
    assert ordinate == pytest.approx(walked, rel=1e-9, abs=1e-6)


def test_two_equal_cylinders_share_the_volume_that_archimedes_gave() -> None:
    """16 r³ / 3, summed from the ordinates over the branch's section in rings."""
    rings, lines = 400, 400
    volume = 0.0
    for ring in range(rings):
        radius = (ring + 0.5) / rings
        for line in range(lines):
            height = saddle_ordinate_mm(360 * (line + 0.5) / lines, 1.0, radius)
            volume += 2 * height * radius * (1 / rings) * (2 * pi / lines)
    assert volume == pytest.approx(16 / 3, rel=1e-5)
