"""A template is on its way to the printer before anybody has put the tape away.

Made by the desk in a fresh interpreter, from a phrase to a PDF on the disk. The whole command has a
floor of its own, the cheapest command there is.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bench.ratios import compare, program
from tests.shop import new_crib

pytestmark = pytest.mark.bench

PHRASE = "saddle 6 pipe sch 40 onto 8 pipe"
ROUNDS = 11
MAKE = """
import sys
from pathlib import Path
from crib.acts import yes_to
from crib.desk.answer.wrap import WrapRequest, make_wrap
from crib.acts import yes_to
from crib.stock.engine.opening import open_crib
crib, phrase, file = sys.argv[1:]
again = yes_to("overwrite")
make_wrap(open_crib(Path(crib)), WrapRequest(phrase, Path(file), confirmed=again))
"""


@pytest.fixture
def crib(tmp_path: Path) -> str:
    path = tmp_path / "shop.crib"
    new_crib(path).close()
    return str(path)


def test_a_template_is_made_in_less_than_three_cold_starts(crib: str, tmp_path: Path) -> None:
    make = program(["-c", MAKE, crib, PHRASE, str(tmp_path / "branch.pdf")])
    help_page = ("a cold start of crib --help", program(["-m", "crib", "--help"]))
    found = compare(
        "the template of a 6 in branch, from cold", make, help_page, limit=3, rounds=ROUNDS
    )
    assert found.ratio < found.limit, found.line


def test_the_whole_command_takes_little_more_than_any(crib: str, tmp_path: Path) -> None:
    file = str(tmp_path / "branch.pdf")
    wrap = program(["-m", "crib", "wrap", *PHRASE.split(), file, "--overwrite", "--crib", crib])
    cheapest = ("crib cautions", program(["-m", "crib", "cautions"]))
    found = compare("crib wrap of a 6 in branch", wrap, cheapest, limit=2.5, rounds=ROUNDS)
    assert found.ratio < found.limit, found.line
