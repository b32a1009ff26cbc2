"""What the shell offers at the tabulator key: the crib's own tags, jobs, places and people."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from crib.cli.door import opened
from crib.errors import CribError

if TYPE_CHECKING:
    from crib.stock.queries.shop_names import NamedThing

MOST_OFFERED = 200
_BY_OPTION: dict[str, NamedThing] = {
    "--by": "person",
    "--person": "person",
    "--job": "job",
    "--to": "place",
}
_BY_WORD: dict[str, NamedThing] = {
    "TAG": "piece",
    "JOB": "job",
    "DRAWER": "place",
    "PLACE": "place",
}


@dataclass(frozen=True, slots=True)
class Offered:
    """One word to go on with, as the framework asks for it."""

    value: str
    type: str = "plain"
    help: str | None = None


def complete_names(command: Any) -> None:
    """Let a command's words, and those of its sub-commands, be completed from the crib."""
    for parameter in command.params:
        thing = _named_by(parameter)
        if thing is not None:
            parameter.shell_complete = partial(_offered, thing)
    for sub_command in getattr(command, "commands", {}).values():
        complete_names(sub_command)


def _named_by(parameter: Any) -> NamedThing | None:
    for option in parameter.opts:
        if option in _BY_OPTION:
            return _BY_OPTION[option]
    said = str(parameter.metavar or "")
    return next((thing for word, thing in _BY_WORD.items() if word in said), None)


def _offered(thing: NamedThing, ctx: Any, incomplete: str) -> list[Offered]:
    """The names that begin so; nothing where there is no crib to ask."""
    from crib.stock.queries.shop_names import names_beginning

    try:
        with opened(str(ctx.params.get("crib") or "")) as session:
            names = names_beginning(session, thing, incomplete, MOST_OFFERED)
    except CribError:
        return []
    return [Offered(name) for name in names]
