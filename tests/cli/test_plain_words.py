"""Words are taken as typed exactly where Typer would hand them on unchanged."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from typing import Any

import pytest
import typer
from typer.exceptions import TyperException

from crib.cli.command_list import COMMANDS
from crib.cli.main import app
from crib.cli.plain_words import PlainCommand
from tests.house import ROOT

WORDS = ("P-0139", "", "300", "-1", "yes", "é", "\udcff")


def command(name: str) -> Any:
    group: Any = typer.main.get_command(app)
    return group.get_command(None, name)


def typed(parameter: Any) -> Iterator[Any]:
    """What may stand for a parameter: nothing, or any word; several where it takes several."""
    yield parameter.default
    several = parameter.multiple or parameter.nargs != 1
    yield from [(), WORDS[:1], WORDS] if several else WORDS


def read(context: Any, parameter: Any, value: Any) -> Any:
    """What a parameter makes of a value, as the command gets it; or how it refuses it."""
    try:
        made = parameter.process_value(context, value)
    except TyperException as error:
        return type(error), error.format_message()
    several = parameter.multiple or parameter.nargs != 1
    return (list(made or ()) or None) if several else made


@pytest.mark.parametrize("name", COMMANDS)
def test_a_parameter_reads_as_typer_reads_it(name: str) -> None:
    plain, typers = command(name), command(name)
    context = plain.context_class(plain)
    plain.parse_args(plain.context_class(plain, resilient_parsing=True), [])
    for ours, theirs in zip(plain.params, typers.params, strict=True):
        for value in typed(theirs):
            assert read(context, ours, value) == read(context, theirs, value), (ours.name, value)


def test_a_callback_still_hears_of_plain_words() -> None:
    heard = []

    def hear(said: str) -> str:
        heard.append(said)
        return said.upper()

    small = typer.Typer(add_completion=False)

    @small.command(cls=PlainCommand)
    def _say(word: str = typer.Option("", callback=hear)) -> None:
        heard.append(word)

    small(["--word", "die"], standalone_mode=False)
    assert heard == ["die", "DIE"]


def test_a_command_of_plain_words_loads_no_pydantic() -> None:
    script = (
        "import sys\nfrom crib.cli.main import main\n"
        "main(['cautions', '--crib', 'none.crib'])\nprint('pydantic' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1] == "False"
