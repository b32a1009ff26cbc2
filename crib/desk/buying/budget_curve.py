"""What budgets bring, as a chart."""

from __future__ import annotations

from pathlib import Path

from crib.acts import act, saying
from crib.desk.buying.buy import BuyPlan
from crib.errors import Refused
from crib.files.common.paper_sizes import usual_paper
from crib.files.paper.chart import Chart, Series, number_axis
from crib.files.paper.chart_sheet import ChartSheet, chart_svg, render_chart
from crib.files.paper.pictures import check_place
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.units import format_money

_CENTS = 100


def curve_chart(plan: BuyPlan) -> Chart:
    """Budget against what the best choice within it gains in a year, with the budget marked.

    Raises:
        Refused: when there is nothing that gains, or the plan has no curve.
    """
    points = tuple(
        (one.budget_cents / _CENTS, one.net_cents_per_year / _CENTS) for one in plan.curve
    )
    if len(points) < 2 or not points[-1][0]:
        message = "no budget to draw: nothing with a price gains more than it costs"
        way_out = saying(act("buy"), " lists what is missing and whose price to ask")
        raise Refused(message, way_out=way_out)
    marked = tuple(
        (one.budget_cents / _CENTS, one.net_cents_per_year / _CENTS)
        for one in plan.curve
        if one.budget_cents == plan.budget_cents
    )
    budgets = tuple(x for x, _y in points)
    series = [Series("what the best choice of lines gains", "step", points)]
    if marked:
        name = f"the budget of {format_money(plan.budget_cents or 0, plan.currency)}"
        series.append(Series(name, "marks", marked, mark="B"))
    return Chart(
        "what a tooling budget brings",
        number_axis("budget", plan.currency, budgets),
        number_axis("gain a year", plan.currency, (y for _x, y in points)),
        tuple(series),
        _notes(plan),
    )


def write_curve(session: Session, plan: BuyPlan, place: Path) -> None:
    """Draw the curve of a plan on a sheet, as SVG or PDF.

    Raises:
        Refused: when there is nothing to draw, or the file is there already.
        BadInput: for another ending.
        Missing: when there is no such folder.
    """
    check_place(place)
    render_chart(curve_chart(plan), place, _sheet(session))


def curve_svg(session: Session, plan: BuyPlan) -> bytes:
    """The curve of a plan as an SVG file, as it is written to a place.

    Raises:
        Refused: when there is nothing to draw.
    """
    return chart_svg(curve_chart(plan), _sheet(session))


def _sheet(session: Session) -> ChartSheet:
    rules = shop_rules(session)
    return ChartSheet(rules.text("crib.name"), usual_paper(rules.system))


def _notes(plan: BuyPlan) -> tuple[str, ...]:
    told = "worth of the lines less their price over the years they serve; a step for each choice"
    unproven = sum(not one.proven for one in plan.curve)
    return (told, f"{unproven} steps may gain more: time ran out") if unproven else (told,)
