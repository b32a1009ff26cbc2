"""Which hit of a plan is named for its bite: the first of those that bite least."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from crib.features.common.ask import Hit
from crib.features.common.bite_checks import bite_findings
from crib.features.common.speech import Speech
from crib.trade.metal.hits import bite_verdict
from tests.features.bench import METRIC_RULES

METRIC_SPEECH = Speech(METRIC_RULES)
EIGHTHS = st.integers(2, 7)
DUST = st.integers(-4, 4)


@given(st.lists(st.tuples(EIGHTHS, DUST, st.sampled_from(["chain", "bridge"])), min_size=1))
def test_the_first_of_the_hits_that_bite_least_is_named(bites: list[tuple[int, int, str]]) -> None:
    """Bites a few last bits apart are one bite."""
    hits = [
        Hit(number, 0.0, 0.0, eighths / 8 * (1 + dust * 1e-15), kind)  # type: ignore[arg-type]
        for number, (eighths, dust, kind) in enumerate(bites, 1)
    ]
    found = {finding.rule: finding for finding in bite_findings(hits, METRIC_RULES)}
    assert len(found) == len({hit.kind for hit in hits})
    for kind in {hit.kind for hit in hits}:
        least = min(eighths for eighths, _dust, of_kind in bites if of_kind == kind)
        first = next(hit for hit in hits if hit.kind == kind and round(hit.bite * 8) == least)
        told = found[f"{kind} bite"]
        said = f"{kind} hit {first.number} cuts {METRIC_SPEECH.share(least / 8)} of the punch"
        assert told.text.startswith(said)
        assert (told.verdict, told.limit) == bite_verdict(kind, least / 8)
