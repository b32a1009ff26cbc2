"""Whether a punch, its die and what they sit in close at the bottom and open at the top."""

from __future__ import annotations

from collections.abc import Iterator

from tests.audit.checks import Taken, adapter_of
from tests.audit.world import Row

ENTRY_NEW_MM, LEAST_ENTRY_MM, DEEPEST_MM = 4.5, 1.5, 6.5
"""New tools of one seat enter so far; below the second it is a caution, above the third refused."""


def is_mixed(punch: Row, die: Row) -> bool:
    """Whether the two are of two sets: other seats, of which one has both sides."""
    both = punch["die_height_mm"] or punch["die_diameter_mm"] or die["body_diameter_mm"]
    return bool(punch["seat"] != die["seat"] and both)


def stack_faults(thickness_mm: float, one: Taken, punch: Row, die: Row) -> Iterator[str]:
    """The pair enters neither too little nor too far, and the plate goes between them."""
    under = [adapter_of(piece, one) for piece in (punch, die)]
    adapters = [adapter for adapter in under if adapter]
    mixed = is_mixed(punch, die)
    if mixed and "stack" not in one.cautions:
        yield f"{punch['tag']} of {punch['seat']} over {die['tag']} of {die['seat']} without a word"
    heights = [_height(punch, "punch_length_mm"), _height(die, "die_height_mm")]
    heights += [adapter["added_height_mm"] for adapter in adapters]
    sits = [
        adapter["seat"] if adapter else piece["seat"]
        for adapter, piece in zip(under, (punch, die), strict=True)
    ]
    shut = _shut(one, sits)
    if None in heights or not shut:
        if mixed or adapters:
            yield f"nothing shows that {punch['tag']} and {die['tag']} close"
        return
    height = sum(known for known in heights if known)
    least, most = height - max(shut), height - min(shut)
    if least <= 0 or most > DEEPEST_MM + 1e-4:
        yield f"the punch enters {least:.2f} to {most:.2f}"
    if least < LEAST_ENTRY_MM - 1e-4 and "entry" not in one.cautions:
        yield f"the punch enters {least:.2f} without a caution"
    daylight, stroke = one.station["daylight_mm"], one.station["stroke_mm"]
    if daylight and stroke and daylight > stroke and daylight - height < thickness_mm - 1e-4:
        yield f"{thickness_mm} does not go between them"


def _height(piece: Row, of_seat: str) -> float | None:
    """A punch's length or a die's height as it is now [mm]."""
    if piece["length_mm"]:
        return float(piece["length_mm"])
    new = piece["new_mm"] or piece[of_seat]
    return None if new is None else max(new - piece["ground_um"] / 1000, 0.0) or None


def _shut(one: Taken, sits: list[str]) -> list[float]:
    """What the station leaves with its ram down, for each set that it may be made for [mm]."""
    daylight, stroke = one.station["daylight_mm"], one.station["stroke_mm"]
    if daylight and stroke and daylight > stroke:
        return [daylight - stroke]
    over, under = (one.seats[name] for name in sits)
    two = over["name"] != under["name"] and (
        over["die_height_mm"] or over["die_diameter_mm"] or under["body_diameter_mm"]
    )
    sets = [(over, over), (under, under)] if two else [(over, under)]
    left = [(punch["punch_length_mm"], die["die_height_mm"]) for punch, die in sets]
    if any(None in sizes for sizes in left):
        return []
    return [punch + die - ENTRY_NEW_MM for punch, die in left]
