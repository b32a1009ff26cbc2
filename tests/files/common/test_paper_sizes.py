"""Papers by their names."""

from __future__ import annotations

import pytest

from crib.errors import BadValue
from crib.files.common.paper_sizes import paper_size_mm, usual_paper


@pytest.mark.parametrize(
    ("paper", "lying", "size"),
    [
        ("Letter", False, (215.9, 279.4)),
        ("letter", True, (279.4, 215.9)),
        ("A4", False, (210, 297)),
        (" a4 ", True, (297, 210)),
    ],
)
def test_paper_is_as_large_as_its_name_says(
    paper: str, lying: bool, size: tuple[float, float]
) -> None:
    assert paper_size_mm(paper, lying=lying) == size


def test_an_unknown_paper_is_refused_with_those_that_are_known() -> None:
    with pytest.raises(BadValue, match="unknown paper 'a5'; known: A4, Letter"):
        paper_size_mm("a5")


def test_each_unit_has_its_usual_paper() -> None:
    assert (usual_paper("in"), usual_paper("mm")) == ("Letter", "A4")
