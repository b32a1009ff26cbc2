"""Reading a drawing of very many holes, against the DXF library reading and counting the same."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from crib.files.common.resting_collector import collector_resting
from tests.bench.ratios import compare, timed_as_it_runs
from tests.files.dxf_text import plate, text_of

pytestmark = pytest.mark.bench

HOLES = 10_000
ACROSS = 200
PITCH_MM = 30.0
ROUNDS = 5


@pytest.fixture(scope="module")
def drawing(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A plate with ten thousand holes of four sizes, in millimetres."""
    document = plate(ACROSS * PITCH_MM + 40, HOLES / ACROSS * PITCH_MM + 40)
    model = document.modelspace()
    for number in range(HOLES):
        row, column = divmod(number, ACROSS)
        model.add_circle((40 + column * PITCH_MM, 36 + row * PITCH_MM), 7.0 + number % 4)
    path = tmp_path_factory.mktemp("drawing") / "sieve.dxf"
    path.write_text(text_of(document))
    return path


def count_by_size(path: Path) -> None:
    """Read the drawing as ``crib read`` does, and count its holes by size."""
    from crib.files.drawings.dxf import DrawingFacts, read_dxf_file

    sizes = read_dxf_file(path, DrawingFacts(thickness_mm=6.0)).counts_by_size()
    assert [size.count for size in sizes] == [HOLES // 4] * 4


def count_circles(path: Path) -> None:
    """Read the drawing with the library alone, and count its circles."""
    from ezdxf.filemanagement import readfile

    model = readfile(path).modelspace()
    assert sum(1 for entity in model if entity.dxftype() == "CIRCLE") == HOLES


def timed_at_rest(call: Callable[[], object]) -> float:
    """Seconds of the processor without the collector, from which the library gains most."""
    with collector_resting():
        return timed_as_it_runs(call)


@pytest.mark.parametrize(("how", "timed"), [("", timed_as_it_runs), (" at rest", timed_at_rest)])
def test_ten_thousand_holes_are_counted_within_half_more_than_the_bare_reading(
    drawing: Path, how: str, timed: Callable[[Callable[[], object]], float]
) -> None:
    found = compare(
        f"a drawing of 10,000 holes{how}, by size",
        lambda: timed(lambda: count_by_size(drawing)),
        (f"ezdxf reading it{how}, counting circles", lambda: timed(lambda: count_circles(drawing))),
        limit=1.5,
        rounds=ROUNDS,
    )
    assert found.ratio <= found.limit, found.line
