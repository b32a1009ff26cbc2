"""A seeded sample of the audit on the inch demo crib: 1,200 asks."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.audit.run import run_chunk


@pytest.mark.parametrize("chunk", range(3))
def test_no_pick_breaks_a_rule_that_is_reckoned_again(tmp_path: Path, chunk: int) -> None:
    audit = run_chunk(tmp_path, "in", chunk, 400)
    assert audit.faults == []
    assert (audit.asks, audit.picks > 500) == (400, True)
