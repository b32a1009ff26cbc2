"""Every command is listed, helps, shows an example that reads, and has both faces."""

from __future__ import annotations

import ast
import inspect
import re
import shlex
from importlib import import_module
from typing import Any

import pytest
import typer

from crib.cli.command_list import COMMANDS, GROUPS
from crib.cli.main import app, main
from crib.cli.plain_words import PlainCommand, PlainGroup
from tests.house import ROOT, sources

FOLDER = ROOT / "crib" / "cli" / "commands"
README = ROOT / "README.md"
LONGEST_BODY = 15


def command_files() -> set[str]:
    """The files of the folder: each should be a command."""
    return {path.stem for path in FOLDER.glob("*.py")} - {"__init__"}


def made(name: str) -> Any:
    """A command as the shell would get it, a sub-command by both its words."""
    command: Any = typer.main.get_command(app)
    for word in name.split():
        command = command.get_command(None, word)
    return command


def sub_commands(name: str) -> list[str]:
    """The sub-commands of a command, if it has any."""
    return list(getattr(made(name), "commands", ()))


WITH_SUBS = [name for name in COMMANDS if sub_commands(name)]
SUBS = [f"{name} {sub}" for name in WITH_SUBS for sub in sub_commands(name)]
EVERY = [*COMMANDS, *SUBS]
"""Every command and every sub-command, as they are typed."""


def function_of(name: str) -> Any:
    """The function behind a command; that of a sub-command is called as it is typed."""
    first, *sub = name.split()
    module = import_module(f"crib.cli.commands.{COMMANDS[first][0]}")
    return getattr(module, sub[0] if sub else "command")


def examples(name: str) -> list[str]:
    """The example lines of a command's help."""
    found: list[str] = re.findall(r"Examples?: (crib .+)", inspect.getdoc(function_of(name)) or "")
    return found


def read_whole(words: list[str]) -> None:
    """Let every command along some words read what is its own, as the shell would."""
    command: Any = typer.main.get_command(app)
    context: Any = None
    while words:
        name, command, rest = command.resolve_command(context, words)
        context = command.make_context(name, rest, parent=context)
        words = [*context._protected_args, *context.args]


def test_the_list_and_the_folder_hold_the_same_commands() -> None:
    assert {file for file, _line in COMMANDS.values()} == command_files()


def test_no_two_commands_share_a_file() -> None:
    assert len({file for file, _line in COMMANDS.values()}) == len(COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_the_first_line_of_help_is_the_line_of_the_list(name: str) -> None:
    text = inspect.getdoc(function_of(name))
    assert text is not None
    assert text.splitlines()[0] == COMMANDS[name][1]


@pytest.mark.parametrize("name", EVERY)
def test_help_ends_in_an_example_that_the_command_reads(name: str) -> None:
    found = examples(name)
    assert found != []
    for example in found:
        program, *words = shlex.split(example, comments=True)
        assert (program, *words[: len(name.split())]) == ("crib", *name.split())
        read_whole(words)


@pytest.mark.parametrize("name", SUBS)
def test_a_sub_command_is_listed_with_its_whole_first_line(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    first, sub = name.split()
    main([first, "--help"])
    line = (inspect.getdoc(function_of(name)) or "").splitlines()[0]
    assert re.search(rf"^  {sub}  +{re.escape(line)}$", capsys.readouterr().out, re.MULTILINE)


@pytest.mark.parametrize("name", WITH_SUBS)
def test_a_first_word_that_is_no_sub_command_belongs_to_the_first(name: str) -> None:
    group = made(name)
    first = sub_commands(name)[0]
    assert group.resolve_command(None, ["24-118", "x"])[::2] == (first, ["24-118", "x"])
    for sub in sub_commands(name):
        assert group.resolve_command(None, [sub.upper(), "x"])[::2] == (sub, ["x"])


@pytest.mark.parametrize("name", WITH_SUBS)
def test_options_before_a_sub_command_go_to_it(name: str) -> None:
    group = made(name)
    sub = sub_commands(name)[-1]
    context = group.make_context(name, ["--json", "--crib", "a.crib", sub, "x"])
    read = [*context._protected_args, *context.args]
    assert read == [sub, "--json", "--crib", "a.crib", "x"]


@pytest.mark.parametrize("name", EVERY)
def test_a_command_takes_json_and_crib(name: str) -> None:
    options = {word for parameter in made(name).params for word in parameter.opts}
    assert {"--json", "--crib"} <= options


@pytest.mark.parametrize("name", EVERY)
def test_a_command_takes_plain_words_as_they_are(name: str) -> None:
    assert isinstance(made(name), PlainCommand | PlainGroup)


@pytest.mark.parametrize("name", EVERY)
def test_every_option_of_a_command_says_what_it_does(name: str) -> None:
    silent = [one.name for one in made(name).params if not (one.help or "").strip()]
    assert silent == []


@pytest.mark.parametrize("name", EVERY)
def test_help_fits_eighty_columns(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    status = main([*name.split(), "--help"])
    said = capsys.readouterr()
    assert (status, said.err) == (0, "")
    assert f"crib {name}" in said.out
    assert max(len(line) for line in said.out.splitlines()) <= 80


@pytest.mark.parametrize("name", EVERY)
def test_a_command_only_parses_calls_and_draws(name: str) -> None:
    function = function_of(name)
    tree = ast.parse((FOLDER / f"{COMMANDS[name.split()[0]][0]}.py").read_text("utf-8"))
    functions = [node for node in tree.body if isinstance(node, ast.FunctionDef)]
    command = next(node for node in functions if node.name == function.__name__)
    body = command.body[1:]
    lines = (body[-1].end_lineno or 0) - body[0].lineno + 1
    assert lines <= LONGEST_BODY


def test_the_programs_help_lists_every_command_in_order(
    capsys: pytest.CaptureFixture[str],
) -> None:
    status = main(["--help"])
    said = capsys.readouterr()
    listed = re.findall(r"^  ([a-z]+)  +(\S.*)$", said.out.split("exit.\n")[1], re.MULTILINE)
    assert status == 0
    assert listed == [
        (name, COMMANDS[name][1]) for names in GROUPS.values() for name in names.split()
    ]
    assert sorted(name for name, _line in listed) == sorted(COMMANDS)
    assert [f"{title}:" in said.out.splitlines() for title in GROUPS] == [True] * len(GROUPS)


def test_the_program_says_its_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--version"]) == 0
    assert re.fullmatch(r"crib \d+\.\d+\.\d+, cribs of revision \d{4}\n", capsys.readouterr().out)


def test_a_command_that_does_not_exist_is_a_wrong_request(
    capsys: pytest.CaptureFixture[str],
) -> None:
    status = main(["drill"])
    said = capsys.readouterr()
    assert (status, said.out) == (2, "")
    assert "drill" in said.err


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        (["fnid"], "did you mean `crib find`?"),
        (["zzserch"], "`crib --help` lists the commands"),
        (["hole", "13/16", "thru", "3/8"], "did you mean `crib find hole 13/16 thru 3/8`?"),
    ],
)
def test_a_command_that_does_not_exist_gets_the_nearest(
    words: list[str], meant: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    assert meant in capsys.readouterr().err


def test_capitals_do_not_matter_in_a_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["CAUTIONS"]) == 0
    assert capsys.readouterr().out


@pytest.mark.skipif(not README.is_file(), reason="the README is not written yet")
@pytest.mark.parametrize("name", EVERY)
def test_the_readme_names_the_command(name: str) -> None:
    assert f"crib {name}" in README.read_text("utf-8")


def test_only_commands_are_called_command() -> None:
    holders = {
        path.split("/")[-1].removesuffix(".py")
        for path, text in sources("crib/cli").items()
        if any(
            isinstance(node, ast.FunctionDef) and node.name == "command"
            for node in ast.parse(text).body
        )
    }
    assert holders == command_files()


ONE_FORM_ELSEWHERE = {
    "--to": {"NAME", "DRAWER", "PLACE", "SITE"},
    "--draw": {"FILE", "FILE.pdf"},
    "--job": {"NAME", "JOB"},
    "--unit": {"in|mm", "UNIT"},
}
"""Options of one meaning whose value is called differently where it may be one thing only."""


def test_an_option_means_one_thing_everywhere() -> None:
    """It is a switch in every command or in none, and what follows it is called the same."""
    forms: dict[str, dict[object, list[str]]] = {}
    for name in EVERY:
        for parameter in made(name).params:
            for option in parameter.opts:
                if option.startswith("--"):
                    form = "switch" if parameter.is_flag else parameter.metavar
                    forms.setdefault(option, {}).setdefault(form, []).append(name)
    unlike = {
        option: told
        for option, told in forms.items()
        if len(told) > 1 and set(told) - ONE_FORM_ELSEWHERE.get(option, set())
    }
    assert unlike == {}
