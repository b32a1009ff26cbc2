"""Below the doors an act has a name and figures; the shell's door alone knows how it is typed."""

from __future__ import annotations

import ast
import inspect
import re
import shlex
from collections.abc import Iterator
from typing import Any, get_args

import pytest
from typer.exceptions import TyperException

from crib.acts import Doubt, act, acts_in, fact, joined, saying
from crib.cli.command_list import COMMANDS
from crib.cli.wording import confirmed, short, spelled, worded
from crib.cli.wording.acts import SPELLINGS, fields_of
from crib.wording.sayings import codes, words_of
from tests.house import sources
from tests.test_commands import EVERY, made, read_whole

BELOW = (
    "acts.py",
    "errors.py",
    "spellings.py",
    "units.py",
    "trade",
    "features",
    "files",
    "stock",
    "desk",
)
SHELL = re.compile(rf"`crib |--[a-z]|(?<!from )\bcrib (?:{'|'.join(COMMANDS)})\b")
# Figures that stand for what a command checks as it reads its words.
FLAGS = dict.fromkeys(("dynamic", "dry", "finish", "rough"), True)
NUMBERS = {"cert_tensile_mpa": 450.0, "cert_yield_mpa": 250.0, "exc": 3, "per_part": 2}
SAMPLES: dict[str, Any] = {"weeks": "8", "quantity": 40, **NUMBERS, **FLAGS}


def below_the_doors() -> dict[str, str]:
    """Every file that may not speak as a shell does."""
    starts = tuple(f"crib/{name}" for name in BELOW)
    return {path: text for path, text in sources("crib").items() if path.startswith(starts)}


def acts_named() -> Iterator[tuple[str, str, set[str]]]:
    """Where an act is named, by which name, with which figures."""
    for path, text in below_the_doors().items():
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "act":
                name = ast.literal_eval(node.args[0])
                yield f"{path} line {node.lineno}", name, {one.arg or "" for one in node.keywords}


def wrong_with(words: list[str]) -> str:
    """What a command finds wrong with its words; a bare one may lack what whoever acts knows."""
    try:
        read_whole(words)
    except TyperException as error:
        return type(error).__name__
    return ""


def facts_named() -> Iterator[tuple[str, str, set[str], bool]]:
    """Where a fact is named, by which code, with which figures, and whether with more."""
    for path, text in below_the_doors().items():
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "fact":
                code = ast.literal_eval(node.args[0])
                figures = {one.arg for one in node.keywords if one.arg}
                is_open = any(one.arg is None for one in node.keywords)
                yield f"{path} line {node.lineno}", code, figures, is_open


def option_names() -> set[str]:
    """Every option of every command."""
    return {word for name in EVERY for parameter in made(name).params for word in parameter.opts}


def test_every_act_that_is_named_has_a_spelling_for_all_its_figures() -> None:
    wrong = [
        f"{where}: {name} {sorted(figures)}"
        for where, name, figures in acts_named()
        if name not in SPELLINGS or not figures <= fields_of(name)
    ]
    assert wrong == []


def test_every_spelling_is_of_an_act_that_is_named() -> None:
    named = {name for _where, name, _figures in acts_named()}
    assert set(SPELLINGS) - named == set()


def test_every_doubt_is_confirmed_by_an_act() -> None:
    confirming = {name.removeprefix("confirm.") for name in SPELLINGS if "confirm." in name}
    assert confirming == set(get_args(Doubt))


def test_every_fact_that_is_named_has_words_for_exactly_its_figures() -> None:
    wrong = []
    for where, code, figures, is_open in facts_named():
        wanted = set(inspect.signature(words_of(code)).parameters) if code in codes() else set()
        if not (figures <= wanted if is_open else figures == wanted) or code not in codes():
            wrong.append(f"{where}: {code} {sorted(figures ^ wanted)}")
    assert wrong == []


def test_all_words_are_for_facts_that_are_named() -> None:
    assert codes() - {code for _where, code, _figures, _is_open in facts_named()} == set()


@pytest.mark.parametrize("name", SPELLINGS)
def test_a_spelling_is_what_a_command_reads(name: str) -> None:
    figures = {field: SAMPLES.get(field, "P-1") for field in fields_of(name)}
    words = shlex.split(spelled(act(name, **figures)))
    if words[0] != "crib":
        said = {word for word in words if word.startswith("--")}
        assert said
        assert said <= option_names()
        return
    assert wrong_with(words[1:]) in ("", "MissingParameter")


def test_no_room_below_the_doors_speaks_as_a_shell_does() -> None:
    said = [
        f"{path} line {number}: {line.strip()}"
        for path, text in below_the_doors().items()
        for number, line in enumerate(text.splitlines(), 1)
        if SHELL.search(line)
    ]
    assert said == []


@pytest.mark.parametrize(
    "line",
    ["say `crib history`", "say --again", "take it with crib log P-1 3", "crib export --all"],
)
def test_the_check_hears_a_command_and_an_option(line: str) -> None:
    assert SHELL.search(line)


def test_words_between_acts_are_kept_and_a_command_is_marked() -> None:
    said = saying("see ", act("history", tag="P-1"), ", or say ", act("confirm.typed-already"))
    assert worded(said) == "see `crib history P-1`, or say --again"
    assert str(said) == "see history(tag='P-1'), or say confirm.typed-already()"


def test_a_name_with_a_blank_is_quoted_as_the_shell_reads_it() -> None:
    assert shlex.split(spelled(act("history", tag="north bay's"))) == [
        *("crib", "history", "north bay's"),
    ]


def test_a_figure_to_be_filled_in_shows_what_belongs_there() -> None:
    assert spelled(act("history", tag=None)) == "crib history TAG"
    assert spelled(act("history")) == "crib history"


def test_sayings_are_joined_without_losing_an_act() -> None:
    both = joined("; ", ["a", saying("b ", act("history"))])
    assert worded(both) == "a; b `crib history`"
    assert acts_in(both) == (act("history"),)
    assert acts_in("a") == ()


def test_a_flag_says_yes_to_every_doubt_that_it_stands_for() -> None:
    assert "many-strokes" in confirmed(sure=True, again=False)
    assert "typed-already" not in confirmed(sure=True, again=False)
    assert confirmed(sure=False) == frozenset()


def test_a_fact_has_a_short_and_a_long_face() -> None:
    back = fact("buy.held-back", count=5, months=3, most=3)
    assert short(back) == "held back 5"
    assert worded(back) == "held back 5: 3 months' use and a spare make 3"
    assert worded(saying("so ", back.but(count=6))) == (
        "so held back 6: 3 months' use and a spare make 3"
    )
    assert (back["count"], str(back)) == (5, "buy.held-back(count=5, months=3, most=3)")


@pytest.mark.parametrize("said", [act("history"), saying("a"), fact("buy.packs", needed=1)])
def test_what_is_said_by_name_never_slips_into_a_text(said: object) -> None:
    with pytest.raises(TypeError, match="worded by a door"):
        f"{said}"
