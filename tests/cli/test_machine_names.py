"""A machine is named the same way wherever it is asked for."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import MachineRecord
from tests.cli.asking import Answer, Window
from tests.desk.kitting import SECOND, kit_shop
from tests.shop import insert
from tests.test_commands import EVERY, made

ASKING: dict[str, tuple[str, ...]] = {
    "due": ("due", "--json"),
    "log": ("log",),
    "plan": ("plan", "--job", SECOND, "--json"),
    "sheet": ("sheet", "strokes.pdf", "--overwrite"),
}
"""How each command that takes a machine is asked."""

WHOLE = "Ironworker 1 (north bay)"


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    """Planned jobs at a machine with a long name, and another whose name begins alike."""
    monkeypatch.chdir(tmp_path)
    shop: Session = kit_shop(tmp_path / "shop.crib")
    with shop.writing():
        shop.run("UPDATE machine SET name = ? WHERE name = 'Ironworker 1'", (WHOLE,))
    insert(shop, MachineRecord, name="Ironworker 12")
    shop.close()
    return Window(tmp_path / "shop.crib", capsys)


def asked(window: Window, command: str, machine: str) -> Answer:
    return window.ask(*ASKING[command], "--machine", machine)


def test_these_are_all_the_commands_that_take_a_machine() -> None:
    taking = [
        name
        for name in EVERY
        if any("--machine" in parameter.opts for parameter in made(name).params)
    ]
    assert sorted(taking) == sorted(ASKING)


@pytest.mark.parametrize("command", ASKING)
@pytest.mark.parametrize(
    "said", ["IRONWORKER1(northbay)", "ironworker 1", "Ironworker  1 ", "north bay", "1"]
)
def test_every_command_takes_a_machine_by_its_name_or_words_of_it(
    window: Window, command: str, said: str
) -> None:
    whole, part = asked(window, command, WHOLE), asked(window, command, said)
    assert "machine called" not in whole.err + part.err
    assert (part.status, len(part.lines)) == (whole.status, len(whole.lines))


@pytest.mark.parametrize("command", ASKING)
@pytest.mark.parametrize(
    ("said", "error"),
    [
        ("Press 9", "no machine called 'Press 9'; known: Ironworker 1 (north bay), Ironworker 12"),
        ("Ironworker 3", "no machine called 'Ironworker 3'; known: "),
        ("Ironworker", "'Ironworker' can be Ironworker 1 (north bay), Ironworker 12, Ironworker 2"),
    ],
)
def test_every_command_says_the_same_of_a_machine_that_is_not_one(
    window: Window, command: str, said: str, error: str
) -> None:
    answer = asked(window, command, said)
    assert answer.status == 2
    assert error in " ".join(answer.err.split())


def test_who_it_was_is_named_the_same_way_for_acts_and_for_lists(window: Window) -> None:
    for by in ("bench 2", "BENCH2", "bench"):
        acting = (*("log", "P-0137", "5"), "--again", "--by")
        for words in (("due", "--person"), ("history", "--person"), acting):
            assert window.ask(*words, by).status == 0, (words, by)
    shop = open_crib(window.path)
    acts = shop.value(
        "SELECT count(*) FROM entry JOIN person ON person.id = entry.person_id"
        " WHERE person.name = 'bench 2' AND entry.action = 'strokes'"
    )
    shop.close()
    assert acts == 3
