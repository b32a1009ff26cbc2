"""A mill certificate: held to its grade, and a stronger one asks for more of everything."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from itertools import pairwise

import pytest

from crib.desk.answer.asked import read_asked
from crib.desk.answer.lookup import Lookup
from crib.errors import BadValue
from crib.features.common.case import Circumstances
from crib.features.common.findings import Finding
from crib.stock.engine.session import Session
from crib.trade.metal.certificates import certified_tensile_mpa
from crib.units import MPA_PER_KSI
from tests.demo_crib import demo_crib
from tests.desk.asks import ask

_ORDER = {"ok": 0, "caution": 1, "refuse": 2}
_INCH = (
    "hole 13/16 thru 3/8 A36",
    "hole 9/16 thru 1/2 A36",
    "hole 13/16 thru 1/4 304",
    "slot 13/16 x 1 thru 1/4 A36",
    "square 1/2 thru 1/4 A572-50",
    "notch 4 x 3 thru 1/4 A36",
    "notch 4 x 2 thru 3/16 A572-50",
    "vee 2 thru 1/8 A36",
    "corner 3 x 3 thru 3/16 A36",
    "cut flat 6 x 3/8 A36",
    "cut angle 3 x 3 x 1/4 A36",
    "cut round 3/4 A36",
    "cut tube 1 x 1 x 16ga A500-B",
    "saddle 1-1/2 pipe sch 40",
    "point 1/2 A36",
    "bend 10 x 1/8 at 90 A36",
)
_METRIC = ("hole 22 thru 10 S275", "notch 80 x 60 thru 5 S355", "bend 200 x 4 at 90 S275")


@pytest.fixture(scope="module")
def inch(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    with closing(demo_crib(tmp_path_factory.mktemp("inch") / "demo.crib")) as made:
        yield made


@pytest.fixture(scope="module")
def metric(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    path = tmp_path_factory.mktemp("metric") / "demo.crib"
    with closing(demo_crib(path, metric=True)) as made:
        yield made


def _asks_for_more(session: Session, phrase: str) -> int:
    """Judge the same tooling by ever stronger certificates; how many refusals they brought."""
    lookup = Lookup(session)
    feature = read_asked(phrase, lookup.reading, Circumstances()).ask
    limits = certified_tensile_mpa(feature.answers(lookup.rules, Circumstances()).case.material, 10)
    assert limits is not None
    steps = [limits[0] + share * (limits[1] - limits[0]) for share in (0, 0.3, 0.7, 1)]
    answers = [
        feature.answers(lookup.rules, Circumstances(cert_tensile_mpa=step)) for step in steps
    ]
    served = lookup.search(feature, Circumstances(cert_tensile_mpa=steps[0])).candidates()
    assert served, phrase
    new = 0
    for pick in served:
        said = [one.judge(pick.tooling) for one in answers]
        for mild, strong in pairwise(said):
            _no_milder(mild, strong)
        loads = [one.figures(pick.tooling).get("load", 0.0) for one in answers]
        assert loads == sorted(loads)
        new += any(finding.verdict == "refuse" for finding in said[-1])
    return new


def _no_milder(mild: list[Finding], strong: list[Finding]) -> None:
    for before in mild:
        same = [one for one in strong if (one.rule, one.unit) == (before.rule, before.unit)]
        if before.rule in ("strength", "adverse"):
            continue  # what the grade may run to is not asked where a certificate says it
        assert max((_ORDER[one.verdict] for one in same), default=0) >= _ORDER[before.verdict]
        values = [one.value or 0.0 for one in same if one.verdict != "refuse"]
        if before.value is not None and before.rule in ("force", "stress", "line", "envelope"):
            assert all(value >= before.value - 1e-9 for value in values[:1])


def test_a_stronger_certificate_never_turns_a_refusal_into_a_pick(inch: Session) -> None:
    assert sum(_asks_for_more(inch, phrase) for phrase in _INCH) > 0


def test_nor_does_it_in_a_metric_crib(metric: Session) -> None:
    for phrase in _METRIC:
        _asks_for_more(metric, phrase)


@pytest.mark.parametrize("work", ["notch 4 x 3 thru 5/16 A36", "corner 4 x 4 thru 5/16 A36"])
def test_a_list_is_read_for_the_certificates_steel(inch: Session, work: str) -> None:
    assert not ask(inch, work, cert_tensile_mpa=87 * MPA_PER_KSI).serves


@pytest.mark.parametrize(
    ("phrase", "facts", "said"),
    [
        ("hole 1-1/2 thru 1 A36", {"cert_tensile_mpa": 6.5 * MPA_PER_KSI}, "outside 52 ksi to 88"),
        ("hole 1 thru 1/4 A514", {"cert_tensile_mpa": 45 * MPA_PER_KSI}, "outside 99 ksi to 143"),
        ("notch 4 x 3 thru 5/16 A36", {"cert_tensile_mpa": 120 * MPA_PER_KSI}, "tensile 120 ksi"),
        ("hole 1 thru 1/4 A36", {"cert_yield_mpa": 5.0 * MPA_PER_KSI}, "yield 5 ksi is outside"),
        ("bend 10 x 1/4 at 90 A36", {"cert_tensile_mpa": 6.5 * MPA_PER_KSI}, "10 % .ASTM A36"),
        ("cut flat 6 x 3/8 A36", {"cert_tensile_mpa": 6.5 * MPA_PER_KSI}, "cert.beyond_pct"),
        ("saddle 1-1/2 pipe sch 40", {"cert_tensile_mpa": 6.5 * MPA_PER_KSI}, "A53-B can have"),
        ("point 1/2 A36", {"cert_tensile_mpa": 6.5 * MPA_PER_KSI}, "A36 can have"),
        ("hole 1 thru 10ga galv", {"cert_tensile_mpa": 900.0}, "Galvanized can have"),
        ("hole 1 thru 1/4 galv", {"cert_yield_mpa": 300.0}, "Galvanized has no yield"),
        (
            "hole 1 thru 1/4 A36",
            {"cert_yield_mpa": 500.0, "cert_tensile_mpa": 450.0},
            "is above tensile",
        ),
    ],
)
def test_a_certificate_of_another_steel_is_refused(
    inch: Session, phrase: str, facts: dict[str, float], said: str
) -> None:
    with pytest.raises(BadValue, match=said):
        ask(inch, phrase, **facts)
