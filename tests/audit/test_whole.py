"""The whole audit: 20,000 asks in chunks that the cores share; other seeds than the sample's."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.audit.run import run_chunk

EACH = 400
CHUNKS = [*(("in", number) for number in range(100, 132)), *(("mm", n) for n in range(100, 118))]


@pytest.mark.slow
@pytest.mark.audit
@pytest.mark.parametrize(("system", "chunk"), CHUNKS)
def test_no_pick_breaks_a_rule_that_is_reckoned_again(
    tmp_path: Path, system: str, chunk: int
) -> None:
    assert run_chunk(tmp_path, system, chunk, EACH).faults == []


def test_the_whole_is_twenty_thousand_asks() -> None:
    assert len(CHUNKS) * EACH == 20_000
