"""Every kind of feature can be filled in step by step, and what comes of it reads."""

from __future__ import annotations

import pytest

from crib.features.common.plate_phrase import Reading
from crib.features.registry import feature_kinds, phrase_forms, read_phrase
from crib.trade.shop.shop_rules import Rules
from crib.units import System

WORDS = {
    "in": {"width": "1/2", "long": "2", "depth": "3", "thickness": "1/4", "material": "A36"},
    "mm": {"width": "12", "long": "50", "depth": "60", "thickness": "6", "material": "S235"},
}
ALIKE = {
    **{"bolt": "M20", "pipe": "1-1/2", "schedule": "40", "angle": "90", "bend_long": "10in"},
    **{"wall": "2mm", "flat": "4in", "leg": "3in", "other_leg": "3in", "height": "4in"},
    **{"flange": "1-5/8", "bar": "3/4in"},
}


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("name", phrase_forms())
def test_a_form_that_is_filled_in_reads_as_its_kind(name: str, unit: System) -> None:
    form, kind = phrase_forms()[name]
    said = {**ALIKE, **WORDS[unit]}
    ask = read_phrase(form.phrase(said), Reading(Rules({"crib.unit": unit})))
    assert ask.feature == kind.word
    assert ask.plate.material.name == said["material"]


def test_every_kind_has_a_form_and_a_form_asks_one_thing_after_the_other() -> None:
    assert all(kind.forms for kind in feature_kinds().values())
    for form, _kind in phrase_forms().values():
        said: dict[str, str] = {}
        for slot in form.slots:
            assert form.open_slot(said) == slot
            said[slot] = "1"
        assert form.open_slot(said) == ""
        assert form.slots[-1] == "material"
