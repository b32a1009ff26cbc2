"""What the page keeps of the shop between questions is never older than the crib's last write."""

from __future__ import annotations

import asyncio
import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from crib.cli.main import main
from crib.page.frame.as_it_is import AsItIs
from crib.page.frame.desk_threads import DeskHere, DeskThread
from tests.page.conftest import opened_page

PHRASES = ("hole 13/16 thru 3/8 A36", "hole 2 thru 3/8 A36", "hole 5/8 thru 1/4 A36")
WRITES: dict[str, tuple[str, ...]] = {
    "the first punch is put away": ("move", "P-0139", "--to", "N1"),
    "it is broken": ("broke", "P-0139", "chipped"),
    "it is out of use": ("retire", "P-0137", "--why", "worn out"),
    "it is lent": ("kit", "lend", "P-0139", "--to", "bench 1"),
    "a rule is another": ("rules", "force.caution_load", "0.5", "--why", "trial"),
    "the crib has another name": ("rules", "crib.name", "Another shop", "--why", "trial"),
    "there is one more press": (
        *("machine", "Press 9", "--station", "punch", "--does", "punch"),
        *("--rating", "90 US tons", "--seats", "A;B", "--throat", "20in", "--daylight", "9in"),
    ),
    "a station is rated lower": (
        *("machine", "Ironworker 1 (north bay)", "--station", "main punch"),
        *("--rating", "28 US tons", "--update"),
    ),
    "an adapter is lost": ("broke", "X-0571", "lost"),
    "plate is stronger": (
        *("grades", "A36X", "--family", "mild", "--tensile", "60ksi", "--upper", "80ksi"),
        *("--source", "trial", "--why", "trial", "--also", "A36Y"),
    ),
}


def told(page: TestClient, phrase: str = "") -> list[str]:
    """What the page says to each phrase, to a program and to a person."""
    answers = []
    for asked in (phrase,) if phrase else PHRASES:
        for sort in ("application/json", "text/html"):
            shown = page.get("/tool/answer", params={"phrase": asked}, headers={"accept": sort})
            answers.append(re.sub("page-[0-9a-f]+", "KEY", shown.text))
    return answers


@pytest.mark.parametrize("write", WRITES)
def test_a_write_from_outside_is_in_the_next_answer(
    page: TestClient, crib: Path, write: str, capsys: pytest.CaptureFixture[str]
) -> None:
    more = "hole 13/16 thru 3/8 A36X" if write == "plate is stronger" else ""
    before = told(page, more)
    assert told(page, more) == before
    status = main([*WRITES[write], "--by", "lead hand", "--crib", str(crib)])
    assert status == 0, capsys.readouterr()
    after = told(page, more)
    assert after != before, "a write that no answer shows proves nothing"
    with opened_page(crib) as fresh:
        assert after == told(fresh, more)


def test_what_one_question_read_serves_the_next(crib: Path) -> None:
    """Without this the law above could not fail."""

    async def twice() -> list[AsItIs]:
        desk, other = DeskHere(crib), DeskThread("writes", crib, keeps=False)
        made = [await one.run(one.as_it_is) for one in (desk, desk, other, other)]
        desk.close()
        other.close()
        return made

    with ThreadPoolExecutor(1) as pool:  # a browser's tests leave a loop in this one
        first, again, written, after = pool.submit(asyncio.run, twice()).result()
    assert first is again
    assert written is not after
