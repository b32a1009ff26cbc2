"""Thursday and Friday: edges are ground and turned, tools are bought and come in."""

from __future__ import annotations

from typing import Any

import pytest

from crib.desk.buying.chosen_lines import lines_to_order
from tests.week.first_days import NOTCH, SHEAR, runs
from tests.week.the_week import Count, Week

_LOOKED_UP = "crib.desk.buying.place_orders.lines_to_order"


def thursday(week: Week) -> None:
    """A kit comes back and is ground, the blades are turned, what was missed is bought."""
    week.now("2026-03-05 08:00")
    # The last of the 25 parts spoilt before its holes: 24 parts x 4 holes, not the planned 100.
    week.do("kit back J-2 P-0106=96 --by keeper")
    week.do("jobs --close J-2 --not-made --by keeper")
    ground = week.do("grind D-0118 --off 0.010in --found right --by grinder").out
    assert "the gap under the stripper grew by 0.01 in: set the stripper again" in ground
    week.do("grind P-0118 --off 0.010in --found right --by grinder")
    week.do("turn B-0301 B-0302 --found right --by grinder")
    assert [week.do(f"show {tag} --json").json["edge"] for tag in ("B-0301", "B-0302")] == [2, 2]

    week.now("2026-03-05 11:00")
    week.missed("hole 17/32 thru 5/16 A36 for 2000")
    week.missed("hole 1-5/16 thru 1/4 A36 for 900")
    week.missed("hole 29/32 thru 1/4 A36 for 10")  # 7/8 was meant
    wants = {one["card"]["ask"]: one["card"]["id"] for one in week.do("wants --json").json["lines"]}
    week.do(f"wants strike {wants['hole 29/32 thru 1/4 A36']} --why mistyped --by keeper")
    _order(week)
    week.at_night(
        {
            "P-0106": Count(1096, 1096, "A1"),  # 1,000 + 24 parts x 4 holes
            "D-0106": Count(1096, 1096, "A2"),
            "P-0118": Count(0, 1050, "A1"),  # a fresh edge; 1,000 + 50 since new
            "D-0118": Count(0, 1050, "A2"),
            "B-0301": Count(0, 60, SHEAR),  # a fresh edge; 25 + 35 cuts since new
            "B-0302": Count(0, 60, SHEAR),
        }
    )


def _order(week: Week) -> None:
    """Two buyers look at the same list at once; what one has ordered the other is asked about."""
    lines = {one["kind"]: one for one in week.do("buy --budget 500 --json").json["lines"]}
    assert {kind: (one["quantity"], one["unit_price_cents"]) for kind, one in lines.items()} == {
        "punch 17/32": (2, 4000),  # one for the holes, and the shop keeps two
        "punch 1-5/16": (1, 6000),
        "die 1-11/32": (1, None),  # its price has to be asked
    }
    names = " ".join(one["name"] for one in lines.values())

    def look_and_be_overtaken(*facts: Any) -> Any:
        found = lines_to_order(*facts)
        with pytest.MonkeyPatch.context() as once:
            once.setattr(_LOOKED_UP, lines_to_order)
            week.do(f"order {names} --budget 500 --needed-by 2026-03-20 --by keeper")
        return found

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(_LOOKED_UP, look_and_be_overtaken)
        second = week.asked_back(f"order {lines['punch 17/32']['name']} --budget 500 --by nights")
    assert "2 x punch 17/32 on order since 2026-03-05" in second
    assert _orders(week) == [
        # 2 x 40.00 + 1 x 60.00
        ("2026-0001", "Mill lane tooling", 14000, [("punch 17/32", 2), ("punch 1-5/16", 1)]),
        ("2026-0002", "Quarry road dies", None, [("die 1-11/32", 1)]),
    ]


def friday(week: Week) -> None:
    """What was ordered comes in parts, the kit goes home, the job is closed."""
    week.now("2026-03-06 09:00")
    first = week.do("receive 2026-0001 1=1 --to A1 --by keeper --json").json
    assert [(one["tags"], one["to_come"]) for one in first["lines"]] == [(["P-0203"], 1)]
    week.do("receive 2026-0002 1=1@75.50 --to B2 --by keeper")
    (die,) = week.do("order 2026-0002 --json").json["orders"]
    assert (die["state"], die["total_cents"], die["lines"][0]["price_cents"]) == (
        "closed",
        7550,
        7550,
    )
    assert [(number, total) for number, _who, total, _lines in _orders(week)] == [
        ("2026-0001", 14000)
    ]
    week.now("2026-03-06 14:00")
    rest = week.do("receive 2026-0001 --to B1 --by keeper --json").json
    assert [one["tags"] for one in rest["lines"]] == [["P-0204"], ["P-0205"]]
    assert _orders(week) == []
    assert week.do("find hole 1-5/16 thru 1/4 A36 --json").json["order"] == []

    week.now("2026-03-06 15:00")
    # Every stroke was logged on its day, so nothing is counted a second time.
    assert week.do("kit back J-1 --by keeper --json").json["strokes"] == []
    week.do("jobs --close J-1 --by keeper")
    assert all(planned == made for *_, planned, made in runs(week, "J-1"))
    week.at_night(
        {
            "P-0203": Count(0, 0, "A1"),  # 17/32, the one of the morning
            "P-0204": Count(0, 0, "B1"),  # 17/32, put where it was said to come
            "P-0205": Count(0, 0, "B1"),  # 1-5/16
            "D-0203": Count(0, 0, "B2"),  # 1-11/32
            "P-0127": Count(1122, 1122, "A1", "broken"),
            "P-0126": Count(518, 518, "A1"),
            "D-0127": Count(1240, 1240, "A2"),
            "P-0115": Count(1240, 1240, "A1"),
            "D-0115": Count(1240, 1240, "A2"),
            "P-0139": Count(1048, 1048, "B1"),
            "D-0142": Count(1048, 1048, "B2"),
            "T-0401": Count(12, 12, NOTCH),
        }
    )


def _orders(week: Week) -> list[tuple[str, str, int | None, list[tuple[str, int]]]]:
    """Number, supplier, sum in cents and lines of each open order."""
    return [
        (
            one["number"],
            one["supplier"],
            one["total_cents"],
            [(line["kind"], line["quantity"]) for line in one["lines"]],
        )
        for one in week.do("order --json").json["orders"]
    ]
