"""A revision that is released is never edited again: cribs were made by it as it stands.

A new revision is added here with its hash when it is done; another change takes a revision more.
"""

from __future__ import annotations

import hashlib

import pytest

from crib.stock.engine.folders import schema_folder

RELEASED = {
    "0001_first_tables.py": "e5c7eda1a7e2e1069fe371e30d2a8807091a8050a4bb38a915cb84fec428d030",
    "0002_planned_work.py": "98254309c8325e6a8a5dd3f8b382327757aea44147dfa483870a06e6e8827c24",
    "0003_facts.py": "43c57974a07a628bb6fcdc12f9352a1c9d9032b85e58494475d8121042441f9f",
    "0004_guarded.py": "d45a4c55310096278c402f55c29b54a6b6d766b0335bc7874754245323e0886f",
    "0005_second_door.py": "014e0346e140852a66a3701ed755c8fe91084ba77ef7593e70a1feb42cbd07e8",
    "0006_several_sites.py": "ede947bc63d07a9b3e71936c1b28609562be53831a4b183bf1a808101297bd05",
    "0007_learned_life.py": "2a2260859ed71dc04914b0f6b18abdc3dd9389ff0910e0a847f2dc9325f90626",
}


def test_every_revision_is_listed() -> None:
    assert {file.name for file in (schema_folder() / "versions").glob("*.py")} == set(RELEASED)


@pytest.mark.parametrize("name", RELEASED)
def test_a_released_revision_is_as_it_was(name: str) -> None:
    text = (schema_folder() / "versions" / name).read_text("utf-8")
    assert hashlib.sha256(text.encode()).hexdigest() == RELEASED[name]
