"""Stock that does not go into a station's opening is refused, whatever is done to it there."""

from __future__ import annotations

import pytest

from crib.features.common.case import Circumstances
from crib.features.common.plate_phrase import Reading
from crib.features.common.tooling import Station, ToolingSet
from crib.features.registry import read_phrase
from crib.trade.shop.shop_rules import Rules

RULES = Rules.defaults()
STOCK_MM = {
    "hole 13/16 thru 3/8 A36": 9.525,
    "slot 13/16 x 2 thru 3/8 A36": 9.525,
    "notch 2 x 3 thru 3/8 A36": 9.525,
    "vee 2 thru 3/8 A36": 9.525,
    "corner 3 x 3 thru 3/8 A36": 9.525,
    "bend 10 x 3/8 at 90 A36": 9.525,
    "cut flat 4 x 3/8 A36": 9.525,
    "cut angle 3 x 3 x 3/8 A36": 9.525,
    "cut round 3/8 A36": 9.525,
    "saddle 1-1/2 pipe sch 40": 48.26,
    "point 3/8 A36": 9.525,
}


@pytest.mark.parametrize("phrase", STOCK_MM)
@pytest.mark.parametrize(("off_mm", "goes_in"), [(0.0, True), (-0.01, False), (None, True)])
def test_every_work_wants_an_opening_that_the_stock_goes_into(
    phrase: str, off_mm: float | None, goes_in: bool
) -> None:
    opening_mm = None if off_mm is None else STOCK_MM[phrase] + off_mm
    ask = read_phrase(phrase, Reading(RULES))
    station = Station(1, "Ironworker 1", ask.work, ask.work, 1e6, daylight_mm=opening_mm)
    tooling = ToolingSet({}, station)
    found = ask.answers(RULES, Circumstances()).judge(tooling)
    refused = [one for one in found if one.rule == "daylight"]
    assert [one.verdict for one in refused] == ([] if goes_in else ["refuse"])
