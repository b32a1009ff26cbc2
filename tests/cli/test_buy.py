"""``crib buy`` on an 80-column screen, as JSON and as a sheet."""

from __future__ import annotations

import csv
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from crib.desk.answer.find import find
from crib.features.common.case import Circumstances
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import OfferRecord, OrderLineRecord
from tests.cli.asking import Window
from tests.shop import add_kind, add_piece, insert, small_shop

ORDERED_ON = (datetime.now(UTC) - timedelta(days=2)).date().isoformat()
NAME = "round stripper 15/16 in, seat A"


def fill(session: Session) -> None:
    """A priced stripper below its least count, part of it on order, and a slot nobody can punch."""
    seat = session.value("SELECT id FROM seat WHERE name = 'A'")
    kind = add_kind(
        session,
        role="stripper",
        width="15/16",
        seat_id=seat,
        name=NAME,
        least_count=4,
        length_mm=69.85,
        lead_days=9,
    )
    add_piece(session, "P-0500", kind, place="A3")
    insert(
        session, OfferRecord, kind_id=kind, supplier="North Street", price_cents=4850, lead_days=4
    )
    insert(
        session, OrderLineRecord, kind_id=kind, text="1 punch", quantity=1, ordered_on=ORDERED_ON
    )
    find(session, "slot 3/4 x 1-1/8 thru 1/4", Circumstances(quantity=20, job="24-7"))


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    session = small_shop(tmp_path / "shop.crib")
    fill(session)
    session.close()
    return Window(tmp_path / "shop.crib", capsys)


def named(window: Window, kind: str) -> str:
    """The name of a kind's line."""
    lines = window.ask("buy", "--json").json["lines"]
    return next(str(line["name"]) for line in lines if line["kind"] == kind)


def test_the_screen_shows_table_order_lines_and_what_is_on_order(window: Window) -> None:
    said = window.ask("buy")
    assert (said.status, said.err) == (0, "")
    assert max(len(line) for line in said.lines) <= 80
    line = named(window, NAME)
    assert any(re.match(rf"{line} +2   stripper round 15/16 in,", row) for row in said.lines)
    assert "price unknown: ask" in said.lines
    assert "all with a price: USD 97.00, worth USD 0.00 a year" in said.lines
    kept = "of that USD 97.00 for what the shop keeps by its own rules, whatever it gains"
    assert kept in said.lines
    text = " ".join(said.out.split())
    assert (
        f"{line} 2 strippers, round 15/16 in, seat A: die OD 54 mm (2.126 in), height 29 mm" in text
    )
    assert "- 1 sound, the shop keeps at least 4 - kept by a shop rule: gains less" in text
    assert f"- 1 on order since {ORDERED_ON}, taken off" in text
    assert "- 2 x USD 48.50 = USD 97.00, 4 days, North Street" in text
    assert "1 die, obround 25/32 x 1-5/32 in opening overall (total clearance 1/32 in" in text
    assert f"on order since {ORDERED_ON}: 1 x {NAME}" in said.lines


def test_json_is_the_whole_plan(window: Window) -> None:
    said = window.ask("buy", "--budget", "100", "--only", NAME, "--json")
    assert (said.status, said.err) == (0, "")
    assert said.json == {
        "lines": [
            {
                "name": named(window, NAME),
                "role": "stripper",
                "quantity": 2,
                "kind": NAME,
                "what": "stripper round 15/16 in, seat A",
                "text": (
                    "2 strippers, round 15/16 in, seat A: die OD 54 mm (2.126 in), height 29 mm"
                    " (1.142 in), length 2-3/4 in, for Ironworker 1 / punch and Ironworker 2 /"
                    f" punch, as our {NAME!r}"
                ),
                "reasons": [
                    "1 sound, the shop keeps at least 4",
                    "kept by a shop rule: gains less than its price over the years",
                    f"1 on order since {ORDERED_ON}, taken off",
                ],
                "unit_price_cents": 4850,
                "price_cents": 9700,
                "lead_days": 4,
                "supplier": "North Street",
                "value_cents_per_year": 0,
                "charge_cents_per_year": 2910,
                "figures": ["its price over 5 years and keeping it at 20 % is USD 29.10 a year"],
                "gaps": [],
                "bought_with": [],
                "within_budget": True,
                "contents": [],
                "only_with": [],
                "by_rule": 2,
                "is_idle": False,
                "payback_years": None,
                "specification": {
                    "role": "stripper",
                    "quantity": 2,
                    "shape": "round",
                    "width_mm": 23.8125,
                    "seat_name": "A",
                    "seat_numbers": [["die OD", 54.0], ["height", 29.0]],
                    "length_mm": 69.85,
                    "for_station": "Ironworker 1 / punch and Ironworker 2 / punch",
                    "note": f"as our {NAME!r}",
                },
            }
        ],
        "budget_cents": 10000,
        "by": None,
        "spent_cents": 9700,
        "kept_cents": 9700,
        "value_cents_per_year": 0,
        "net_cents_per_year": 0,
        "proven": True,
        "gap": 0.0,
        "currency": "USD",
        "around": {
            "outside": [],
            "larger_budget_cents": 11000,
            "more_net_cents_per_year": 0,
        },
        "curve": [],
        "on_order": [
            {
                "kind": NAME,
                "text": "1 punch",
                "quantity": 1,
                "supplier": "",
                "ordered_on": ORDERED_ON,
                "needed_by": "",
                "number": "",
            }
        ],
        "notes": [
            f"{NAME}: 1 sound, 0 past the last grind, 0 to be looked at, 0 gone within 90 days,"
            " 1 on order, least count 4",
            f"{NAME}: no strokes were read for it in the last 30 days",
            f"{NAME}: North Street: USD 48.50 each, 4 days",
        ],
        "orders": 1,
        "order_cents": 2500,
        "late": [],
        "site": None,
    }


def test_a_budget_that_is_too_small_lists_the_line_as_next(window: Window) -> None:
    said = window.ask("buy", "--budget", "48.49")
    assert "next, outside the budget" in said.lines
    assert "within the budget of USD 48.49: USD 0.00, worth USD 0.00 a year" in said.lines
    assert "order them" not in said.out


def test_a_budget_for_one_of_two_buys_one_and_lists_the_other(window: Window) -> None:
    said = window.ask("buy", "--budget", "96.99")
    assert "within the budget of USD 96.99: USD 48.50, worth USD 0.00 a year" in said.lines
    assert f"more of line {named(window, NAME)}, of which not all is bought" in " ".join(
        said.out.split()
    )
    assert said.lines[-1] == f"order them: crib order {named(window, NAME)} --budget 96.99"


def test_the_sheet_holds_every_line_and_is_not_written_over(window: Window, tmp_path: Path) -> None:
    path = tmp_path / "order.csv"
    said = window.ask("buy", "--csv", str(path))
    assert said.lines[-1] == f"order lines written to {path}"
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(row["buy"], row["role"], row["quantity"], row["price"]) for row in rows] == [
        ("now", "stripper", "2", "97.00"),
        ("ask price", "punch", "1", ""),
        ("ask price", "die", "1", ""),
    ]
    _whole, punch, die = (row["line"] for row in rows)
    assert [row["bought with"] for row in rows] == ["", die, punch]
    again = window.ask("buy", "--csv", str(path))
    assert (again.status, again.out) == (2, "")
    assert "is there already" in again.err


def test_the_curve_is_a_table_and_a_drawing(window: Window, tmp_path: Path) -> None:
    from tests.desk.buying_shop import want

    session = open_crib(tmp_path / "shop.crib")
    row = {
        "role": "punch",
        "shape": "round",
        "width_mm": 23.8125,
        "seat": "A",
        "kind": "punch 15/16",
    }
    die = {**row, "role": "die", "width_mm": 24.60625, "kind": "die 31/32"}
    seat = session.value("SELECT id FROM seat WHERE name = 'A'")
    shelf = add_kind(session, role="punch", width="15/16", seat_id=seat, name="punch 15/16")
    add_piece(session, "P-0501", shelf)
    add_kind(session, role="die", width="31/32", seat_id=seat, name="die 31/32", price_cents=5000)
    want(session, [row, die], "hole 15/16 thru 3/8 A36", quantity=200, at=datetime.now(UTC))
    session.close()
    path = tmp_path / "curve.svg"
    said = window.ask("buy", "--budget", "60", "--curve", "--draw", str(path))
    assert (said.status, said.err) == (0, "")
    assert max(len(line) for line in said.lines[:-2]) <= 80
    assert "       budget USD   spent USD   gain a year USD   proven" in said.lines
    assert "this        60.00       50.00             46.00   yes" in said.lines
    assert "no other choice within the budget gains more (proven)" in " ".join(said.out.split())
    assert said.lines[-2] == (
        f"these name no supplier: crib order {named(window, 'die 31/32')} --budget 60 --from NAME"
    )
    assert said.lines[-1] == f"drawn in {path}"
    assert path.stat().st_size > 1000


def test_what_only_a_rule_asks_for_and_nobody_uses_is_no_part_of_the_order(
    window: Window, tmp_path: Path
) -> None:
    """Two of a punch without a stroke: shown by itself, out of the sum, ordered by its name."""
    session = open_crib(tmp_path / "shop.crib")
    seat = session.value("SELECT id FROM seat WHERE name = 'A'")
    columns: dict[str, Any] = {
        "price_cents": 4000,
        "supplier": "North Street",
        "least_count": 2,
        "name": "idle",
    }
    add_kind(session, role="punch", width="1", seat_id=seat, **columns)
    session.close()
    said = window.ask("buy", "--all")
    idle, kept = named(window, "idle"), named(window, NAME)
    head = said.lines.index("asked for by a shop rule, but not used: order by name if it is wanted")
    assert any(row.startswith(f"{idle} ") for row in said.lines[head:])
    assert "all with a price: USD 97.00, worth USD 0.00 a year" in said.lines
    assert said.lines[-1] == f"order them: crib order {kept}"
    ordered = window.ask("order", "--all", "--json").json["orders"]
    assert [one["kind"] for order in ordered for one in order["lines"]] == [NAME]
    (order,) = window.ask("order", idle, "--json").json["orders"]
    assert [(one["kind"], one["quantity"]) for one in order["lines"]] == [("idle", 2)]


def test_a_day_to_arrive_by_goes_with_the_order(window: Window) -> None:
    day = (datetime.now(UTC) + timedelta(days=30)).date().isoformat()
    said = window.ask("buy", "--arrive-by", day)
    assert said.lines[-1] == f"order them: crib order {named(window, NAME)} --arrive-by {day}"
    soon = (datetime.now(UTC) + timedelta(days=2)).date().isoformat()
    said = window.ask("buy", "--arrive-by", soon)
    assert "not bought: see why under each line" in said.lines
    assert "order them" not in said.out


def test_a_long_list_shows_a_screenful_unless_all_is_asked(window: Window, tmp_path: Path) -> None:

    session = open_crib(tmp_path / "shop.crib")
    for number in range(1, 25):
        add_kind(session, role="nut", width=f"{number}/16", least_count=1, name=f"nut {number}")
    session.close()
    assert "7 more lines: --all" in window.ask("buy").lines
    said = window.ask("buy", "--all")
    assert "more lines" not in said.out
    assert any(re.match(r"K[0-9]+ +1 nut", line) for line in said.lines)


def test_a_shop_that_lacks_nothing_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    small_shop(tmp_path / "whole.crib").close()
    said = Window(tmp_path / "whole.crib", capsys).ask("buy")
    assert (said.status, said.lines) == (0, ["nothing to buy"])


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--budget", "lots"), "money 'lots' cannot be read"),
        (("--budget", "-5"), "money '-5' cannot be read"),
        (("--only", "spoon"), "no kind is called 'spoon'"),
        (("--arrive-by", "soon"), "--arrive-by 'soon' is not a day"),
        (("--arrive-by", "2020-01-01"), "2020-01-01 is before today"),
        (("--draw", "curve.txt"), "curve.txt"),
        (("--draw", "curve.svg"), "no budget to draw"),
    ],
)
def test_a_wrong_request_exits_with_two(window: Window, words: tuple[str, ...], says: str) -> None:
    said = window.ask("buy", *words)
    assert (said.status, said.out) == (2, "")
    assert says in said.err
