"""What the rules say of a plan of several hits: the worst bite, the overlap, the web between.

The same for slots, openings and notches; a plan that is refused carries the figure that failed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from crib.features.common.ask import Hit
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.trade.common.verdicts import Verdict, exceeds, falls_short
from crib.trade.metal.hits import BiteLimits, bite_verdict
from crib.trade.shop.shop_rules import Rules

CP = "common practice, no source"
SHOP = "shop rule"


@lru_cache(maxsize=4)
def bite_limits(rules: Rules) -> BiteLimits:
    """The shop's limits for a bite."""
    number = rules.number
    return BiteLimits(
        chain_ok=number("hit.chain_ok"),
        chain_refuse=number("hit.chain_refuse"),
        bridge_ok=number("hit.bridge_ok"),
        bridge_refuse=number("hit.bridge_refuse"),
    )


def bite_findings(hits: Iterable[Hit], rules: Rules) -> Iterator[Finding]:
    """The worst bite of the chain hits and the worst of the bridge hits, against their limits.

    Of hits that bite alike the first is named: what bites differ by in arithmetic tells nothing.
    """
    worst: dict[str, Hit] = {}
    for hit in hits:
        if hit.kind not in worst or falls_short(hit.bite, worst[hit.kind].bite):
            worst[hit.kind] = hit
    yield from (_bite_finding(hit, rules) for kind, hit in worst.items() if kind != "full")


def _bite_finding(hit: Hit, rules: Rules) -> Finding:
    verdict, limit = bite_verdict(hit.kind, hit.bite, bite_limits(rules))
    text = _bite_text(hit, verdict, limit, Speech(rules))
    source = f"{CP} (rule hit.{hit.kind}_{'refuse' if verdict == 'refuse' else 'ok'})"
    return Finding(f"{hit.kind} bite", verdict, text, hit.bite, limit, "-", source)


def _bite_text(hit: Hit, verdict: Verdict, limit: float, say: Speech) -> str:
    say = say.near(Speech.share, hit.bite, limit)
    against = {
        "ok": f"good from {say.share(limit)}",
        "caution": f"good only from {say.share(limit)}: hold the piece well, watch for side push",
        "refuse": f"at least {say.share(limit)} must cut, or the die is shaved",
    }[verdict]
    return f"{hit.kind} hit {hit.number} cuts {say.share(hit.bite)} of the punch; {against}"


def overlap_finding(overlap_mm: float, rules: Rules) -> Finding:
    """What neighbouring hits share, against the least."""
    least_mm = rules.number("hit.overlap_mm")
    say = Speech(rules).near(Speech.length, overlap_mm, least_mm)
    short = falls_short(overlap_mm, least_mm)
    text = f"hits overlap {say.length(overlap_mm)}, at least {say.length(least_mm)}"
    verdict: Verdict = "refuse" if short else "ok"
    source = f"{CP} (rule hit.overlap_mm)"
    return Finding("overlap", verdict, text, overlap_mm, least_mm, "mm", source)


def web_finding(web_mm: float, thickness_mm: float, rules: Rules) -> Finding:
    """The metal between two hits that a third will cut away, against the least of the thickness."""
    share = rules.number("hit.web_share")
    least_mm = share * thickness_mm
    say = Speech(rules).near(Speech.length, web_mm, least_mm)
    verdict: Verdict = "refuse" if falls_short(web_mm, least_mm) else "ok"
    text = (
        f"{say.length(web_mm)} stands between hits until the bridge,"
        f" at least {say.length(least_mm)} ({share:g} of the thickness)"
    )
    return Finding("web", verdict, text, web_mm, least_mm, "mm", f"{SHOP} (rule hit.web_share)")


def cusp_finding(cusp_mm: float, rules: Rules) -> Finding:
    """The cusps that stay on the sides, against the highest that may be filed off."""
    most_mm = rules.number("hit.cusp_mm")
    say = Speech(rules).near(Speech.length, cusp_mm, most_mm)
    verdict: Verdict = "refuse" if exceeds(cusp_mm, most_mm) else "caution"
    text = (
        f"cusps {say.length(cusp_mm)} high stay on the sides, at most {say.length(most_mm)}:"
        " file them off"
    )
    return Finding("cusp", verdict, text, cusp_mm, most_mm, "mm", f"{SHOP} (rule hit.cusp_mm)")


def hit_words(hits: Sequence[Hit]) -> str:
    """How many hits of which kind: ``3 hits (2 full, 1 bridge)``."""
    kinds = [hit.kind for hit in hits]
    parts = [f"{kinds.count(kind)} {kind}" for kind in ("full", "chain", "bridge") if kind in kinds]
    return f"{len(hits)} hits ({', '.join(parts)})"
