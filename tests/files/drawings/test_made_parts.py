"""What is written with every feature, in any way, is read back to the same balanced account."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from random import Random

import pytest

from crib.features.common.plate_phrase import Reading
from crib.files.common.reading_ledger import FileAccount
from crib.files.drawings.dxf import DrawingFacts, read_dxf
from crib.files.drawings.nc1 import read_nc1
from crib.files.drawings.part_list import read_part_list
from crib.files.drawings.parts import PartFeature, PartsRead
from crib.trade.shop.shop_rules import Rules
from tests.files.made_parts import MadePart, Placed, Written, as_dxf, as_list, as_nc1, made_part

FEW, MANY = 200, 2_000
NO_HEXAGON = ("hole", "slot", "square", "rectangle")
IN_MM = DrawingFacts(unit="mm", thickness_mm=10.0)  # R12 does not say its unit
METRIC = Reading(Rules.defaults().with_changes({"crib.unit": "mm"}))


def placed(features: tuple[PartFeature, ...]) -> Counter[Placed]:
    return Counter(
        (
            one.feature,
            round(one.size_mm, 2),
            round(one.long_mm or one.depth_mm or 0.0, 2),
            # A place is written to four decimals, and half a hundredth goes either way.
            round(one.x_mm * 4) / 4,
            round(one.y_mm * 4) / 4,
        )
        for one in features
    )


def account_of(read: PartsRead) -> FileAccount:
    (account,) = read.accounts
    assert sum(item.features for item in account.items) == sum(len(p.features) for p in read.parts)
    sums = account.sums()
    assert sums["met"] == sum(sums[how] for how in ("counted", "merged", "told", "blank"))
    return account


def check_drawn(part: MadePart, written: Written, read: PartsRead) -> None:
    (found,) = read.parts
    assert placed(found.features) == part.placed()
    account = account_of(read)
    assert (account.sums()["merged"], account.sums()["told"]) == (written.merged, written.told)


def check_nc1(number: int) -> None:
    chance = Random(number)
    part = made_part(chance, NO_HEXAGON)
    written = as_nc1(part, chance)
    read = read_nc1(written.text, "P-1.nc1")
    assert read.parts[0].quantity == part.pieces
    assert len(account_of(read).items) >= written.text.count("\n")
    check_drawn(part, written, read)


def check_dxf(number: int) -> None:
    chance = Random(number)
    part = made_part(chance)
    written = as_dxf(part, chance)
    check_drawn(part, written, read_dxf(written.text, "P-1.dxf", IN_MM))


def check_list(number: int, folder: Path) -> None:
    chance = Random(number)
    part = made_part(chance)
    file = folder / f"{number}.csv"
    file.write_text(as_list(part, chance))
    if not part.sizes():
        return
    read = read_part_list(file, METRIC)
    assert {one.quantity for one in read.parts} == {part.pieces}
    features = tuple(feature for one in read.parts for feature in one.features)
    assert Counter(key[:3] for key in placed(features).elements()) == part.sizes()
    assert account_of(read).sums()["counted"] == len(read.parts)


def check_all(first: int, count: int, folder: Path) -> None:
    """Parts of these numbers; the one that fails is named, and can be made again alone."""
    for number in range(first, first + count):
        try:
            check_nc1(number)
            check_dxf(number)
            check_list(number, folder)
        except Exception as error:
            error.add_note(f"the part made of number {number}")
            raise


def test_every_part_that_is_written_is_read_back_to_the_same_account(tmp_path: Path) -> None:
    check_all(0, FEW, tmp_path)


@pytest.mark.audit
@pytest.mark.parametrize("first", range(FEW, MANY, 450))
def test_two_thousand_parts_are_read_back(first: int, tmp_path: Path) -> None:
    check_all(first, 450, tmp_path)


def test_a_number_makes_the_same_files_again() -> None:
    def made(number: int) -> list[str]:
        chance = Random(number)
        part = made_part(chance)
        return [as_dxf(part, chance).text, as_list(part, chance)]

    assert [made(number) for number in range(12)] == [made(number) for number in range(12)]
