"""Demo cribs with something to see on every page: jobs planned, a kit out, an order, a draft."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import quote

from crib.desk.buying.buy import plan_buying
from crib.desk.buying.chosen_lines import OrderRequest
from crib.desk.buying.place_orders import make_orders
from crib.desk.kit.hand_out import HandOut, hand_out
from crib.desk.kit.hold import hold_kit
from crib.desk.plan.make_plan import PlanRequest, make_plan
from crib.stock.engine.session import Session
from tests.demo_crib import demo_crib

BY = "window"
JOBS = {"inch": ("J-2680", "J-2681"), "metric": ("J-2640", "J-2641")}
"""Of each demo crib a job that is planned, and one whose kit is out."""


def furnished_crib(path: Path, name: str) -> dict[str, str]:
    """Make a demo crib of that name; what addresses of its pages are filled in with."""
    session = demo_crib(path, metric=name == "metric")
    planned, out = JOBS[name]
    for job in (planned, out):
        plan_kept(session, job)
    hand_out(session, out, HandOut(BY), by=BY)
    hold_kit(session, planned, by=BY)
    line = next(one for one in plan_buying(session).lines if one.supplier and not one.only_with)
    ordered = make_orders(session, OrderRequest((line.name,)), by=BY)
    entry = session.value("SELECT max(id) FROM entry")
    machine = session.value("SELECT min(name) FROM machine")
    return {
        "job": planned,
        "out": out,
        "order": ordered.orders[0].card.number,
        "line": next(one.name for one in plan_buying(session).lines),
        "entry": str(entry),
        "machine": quote(machine),
    }


def plan_kept(session: Session, job: str) -> None:
    """Plan a job whose lines the crib knows, and keep its runs."""
    make_plan(session, PlanRequest(job=job, keep=True, by=BY))
