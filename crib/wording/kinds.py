"""The figures behind a kind, in words; each begins with the kind's name."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from crib.wording.parts import Words, money


def _stock(
    *,
    kind: str,
    usable: int,
    spent: int,
    to_look_at: int,
    gone: int,
    on_order: int,
    least_count: int,
) -> Words:
    return kind, (
        f": {usable} sound, {spent} past the last grind,"
        f" {to_look_at} to be looked at, {gone} gone within 90 days,"
        f" {on_order} on order, least count {least_count}"
    )


def _unused(*, kind: str, days: int) -> Words:
    return kind, f": no strokes were read for it in the last {days} days"


def _use(
    *,
    kind: str,
    strokes: int,
    days: int,
    uses_per_week: float,
    lead_days: int,
    deliveries: int,
    give_or_take_days: float,
) -> Words:
    spread = f", give or take {give_or_take_days:.1f}"
    seen = f" as seen in {deliveries} deliveries{spread}" if deliveries else ""
    used = f"{strokes:,} strokes in {days} days, used {uses_per_week:.1f} times a week"
    return kind, f": {used}; delivery {lead_days} days{seen}"


def _season(*, kind: str, season: float) -> Words:
    return kind, f": this season sees {season:.2f} of the usual use, by the last two years' months"


def _planned(*, kind: str, weighted: float) -> Words:
    return kind, f": {weighted:,.0f} weighted strokes are planned in open jobs"


def _runs_out(*, kind: str, out_on: str) -> Words:
    return kind, f": the last grind of all its pieces is used up on {out_on}"


def _months(*, kind: str, point: float, have: int, months: float, most: int | None) -> Words:
    return kind, (
        f": reorder point {point:.2f}, {have} with those on order hold"
        f" {months:,.0f} months' use, at most {most} to have"
    )


def _point(
    *,
    kind: str,
    point: float,
    wear: float,
    lead_days: int,
    planned: float,
    safety: float,
    service: float | None,
) -> Words:
    share = "" if service is None else f" (a spare, or more for {100 * service:.0f} % service)"
    return kind, (
        f": reorder point {point:.2f} = {wear:.2f} worn in {lead_days} days"
        f" + {planned:.2f} planned + {safety:.2f} safety{share}"
    )


def _order_size(*, kind: str, pieces_per_year: float, size: int) -> Words:
    return kind, f": {pieces_per_year:.2f} worn a year: ordering {size} at a time costs least"


def _life(*, kind: str, life: float, years: float) -> Words:
    lasts = f"expected to serve {years:.3g} years"
    return kind, f": {life:,.0f} weighted strokes in a life, {lasts}"


def _saving(
    *,
    kind: str,
    saving_cents: float,
    way: str,
    price_cents: int | None,
    paid_by: int | None,
    currency: str,
) -> Words:
    pays = ""
    if price_cents and paid_by is not None:
        pays = f"; at {money(price_cents, currency)} paid by {paid_by:,} strokes"
    return kind, f": each stroke saves {money(saving_cents, currency)} against {way}{pays}"


def _own_price(*, kind: str, price_cents: int, currency: str) -> Words:
    return kind, f": {money(price_cents, currency)} each on its own record"


def _offer(
    *,
    kind: str,
    supplier: str,
    price_cents: int,
    least: int,
    pack_size: int,
    days: int | None,
    is_seen: bool,
    to_drawing: bool,
    currency: str,
) -> Words:
    parts = [f"{supplier}: {money(price_cents, currency)} each"]
    parts += [f"from {least} up"] if least > 1 else []
    parts += [f"in packs of {pack_size}"] if pack_size > 1 else []
    parts += [f"{days} days{' as seen' if is_seen else ''}"] if days is not None else []
    parts += ["made to a drawing"] if to_drawing else []
    return kind, f": {', '.join(parts)}"


KINDS: Mapping[str, Callable[..., Words]] = {
    "kind.life": _life,
    "kind.months": _months,
    "kind.offer": _offer,
    "kind.order-size": _order_size,
    "kind.own-price": _own_price,
    "kind.planned": _planned,
    "kind.point": _point,
    "kind.runs-out": _runs_out,
    "kind.saving": _saving,
    "kind.season": _season,
    "kind.stock": _stock,
    "kind.unused": _unused,
    "kind.use": _use,
}
