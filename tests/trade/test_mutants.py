"""Of eighty figures of the trade, each changed by itself, the tests notice sixty and more."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.trade.mutants import Mutant, sampled, survives, survives_unchanged

SEED = 20
TABLES, CONSTANTS = 56, 24
LEAST = 60


@pytest.mark.audit
def test_sixty_of_eighty_changed_figures_are_noticed(tmp_path: Path) -> None:
    mutants = sampled(SEED, TABLES, CONSTANTS)
    assert survives_unchanged(mutants, tmp_path), "the tests fail with nothing changed"
    unnoticed = [str(mutant) for mutant in mutants if survives(mutant, tmp_path)]
    assert len(mutants) - len(unnoticed) >= LEAST, "\n".join(unnoticed)


def test_a_sample_is_the_same_for_each_seed_and_no_figure_comes_twice() -> None:
    mutants = sampled(SEED, TABLES, CONSTANTS)
    assert mutants == sampled(SEED, TABLES, CONSTANTS)
    assert mutants != sampled(SEED + 1, TABLES, CONSTANTS)
    assert len({str(mutant) for mutant in mutants}) == TABLES + CONSTANTS
    assert [mutant for mutant in mutants if mutant.before == mutant.after] == []


@pytest.mark.audit
def test_a_figure_that_a_test_names_does_not_slip_through(tmp_path: Path) -> None:
    file = "metal/force.py"
    source = Path("crib/trade", file).read_text("utf-8")
    for before, after, slips in (
        ("RULE_80_SHEAR_MPA = 80 *", "RULE_80_SHEAR_MPA = 81 *", False),
        ('"""What a hole costs', '"""What any hole costs', True),
    ):
        assert before in source
        changed = Mutant(file, "line 1", before, after, source.replace(before, after))
        assert survives(changed, tmp_path) == slips
