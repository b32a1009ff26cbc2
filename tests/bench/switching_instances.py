"""Jobs and tools made in the way of Crama, Kolen, Oerlemans and Spieksma 1994, and the best known.

From memory: so many jobs by so many tools; each job takes a number of tools drawn evenly between
two limits, then the tools themselves; no job lies within another. Each is run with four magazines.
The sizes from fifty jobs on are our own in that manner, with one magazine each.
The instances are made here from a number, they are not the printed ones.
"""

from __future__ import annotations

import csv
import random
from dataclasses import dataclass
from pathlib import Path

BEST_KNOWN = Path(__file__).parent / "data" / "switching_best_known.csv"


@dataclass(frozen=True)
class Size:
    """How many jobs and tools, how many tools a job takes, and how many the machine holds."""

    jobs: int
    tools: int
    least: int
    most: int
    slots: tuple[int, ...]


SIZES = {
    "10x10": Size(10, 10, 2, 4, (4, 5, 6, 7)),
    "15x20": Size(15, 20, 2, 6, (6, 8, 10, 12)),
    "30x40": Size(30, 40, 5, 15, (15, 17, 20, 25)),
    "40x60": Size(40, 60, 7, 20, (20, 22, 25, 30)),
    "50x75": Size(50, 75, 8, 25, (25,)),
    "60x90": Size(60, 90, 9, 30, (30,)),
    "70x105": Size(70, 105, 10, 35, (35,)),
}


@dataclass(frozen=True)
class Known:
    """One instance, one magazine, and the fewest changes that any search of ours has met."""

    size: str
    number: int
    slots: int
    changes: int


def made(size: Size, number: int) -> list[frozenset[int]]:
    """The jobs of an instance; one that lies in another is dropped and drawn anew."""
    chance = random.Random(number)
    jobs: list[frozenset[int]] = []
    while len(jobs) < size.jobs:
        count = chance.randint(size.least, size.most)
        new = frozenset(chance.sample(range(size.tools), count))
        if not any(new <= job for job in jobs):
            jobs = [*(job for job in jobs if not job <= new), new]
    return jobs


def best_known() -> list[Known]:
    """The table of the best known values."""
    lines = [line for line in BEST_KNOWN.read_text("utf-8").splitlines() if line[:1] != "#"]
    return [
        Known(row["size"], int(row["number"]), int(row["slots"]), int(row["changes"]))
        for row in csv.DictReader(lines)
    ]
