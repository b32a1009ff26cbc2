"""The way in from the shell: find the command, run it, turn an error into a message and a status.

Exit status: 0 done or found; 3 asked and nothing in the crib serves; 2 the request is wrong;
1 anything else.
"""

from __future__ import annotations

import gc

# Thousands of objects are made while modules load and none of them is garbage: a short answer needs
# no collection at all, and a long import still gets some.
gc.set_threshold(100_000, 50, 50)

import sys  # noqa: E402 - the collector must rest before the heavy imports
from collections.abc import Sequence  # noqa: E402
from importlib import import_module  # noqa: E402
from types import ModuleType  # noqa: E402
from typing import Annotated, Any  # noqa: E402

import typer  # noqa: E402

from crib.cli.command_list import COMMANDS, GROUPS  # noqa: E402
from crib.cli.plain_words import PhraseCommand, PlainCommand, PlainGroup  # noqa: E402
from crib.unseen import SeenStream  # noqa: E402


class LazyGroup(PlainGroup):
    """A group of commands that imports a command's file only when that command is called."""

    def list_commands(self, ctx: Any) -> list[str]:
        """The names of all commands, in the order of the list."""
        return list(COMMANDS)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """The command of that name, or None."""
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"crib.cli.commands.{COMMANDS[cmd_name][0]}")
        command: Any = typer.main.get_command(getattr(module, "group", None) or _alone(module))
        command.name = cmd_name
        if ctx is not None and ctx.resilient_parsing:
            from crib.cli.completion import complete_names

            complete_names(command)
        return command

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """The command of the first word; of one that is none the nearest are named.

        Raises:
            UnknownName: for a word that is no command.
        """
        name = args[0].lower()
        if name in COMMANDS or name.startswith("-"):
            return super().resolve_command(ctx, [name if name in COMMANDS else args[0], *args[1:]])
        raise _no_command(args)

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """The commands by who needs them, each with its one line of help, from plain text."""
        for title, names in GROUPS.items():
            with formatter.section(title):
                formatter.write_dl([(name, COMMANDS[name][1]) for name in names.split()])


def _alone(module: ModuleType) -> typer.Typer:
    """The program of a file that holds one command without sub-commands."""
    alone = typer.Typer(add_completion=False, rich_markup_mode=None)
    settings: dict[str, Any] = getattr(module, "SETTINGS", {})
    read = PhraseCommand if getattr(module, "TAKES_PHRASE", False) else PlainCommand
    alone.command(cls=read, context_settings=settings)(module.command)
    return alone


app = typer.Typer(
    cls=LazyGroup,
    rich_markup_mode=None,
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
    epilog="Every command takes --json, and --crib FILE (or the variable CRIB).",
)


def _no_command(words: Sequence[str]) -> Exception:
    """An error that names the nearest commands; a feature's word belongs behind ``find``."""
    from difflib import get_close_matches

    from crib.errors import UnknownName
    from crib.features.registry import feature_called

    near = get_close_matches(words[0].lower(), COMMANDS, n=3, cutoff=0.6)
    meant = [f"find {' '.join(words)}"] if feature_called(words[0].lower()) else near
    nearest = " or ".join(f"`crib {one}`" for one in meant)
    way_out = f"did you mean {nearest}?" if meant else "`crib --help` lists the commands"
    return UnknownName(f"there is no command {words[0][:40]!r}", way_out=way_out)


def _tell_version(is_asked: bool) -> None:
    if is_asked:
        from importlib.metadata import version

        from crib.stock.engine.revision import HEAD_REVISION

        print(f"crib {version('crib')}, cribs of revision {HEAD_REVISION}")
        raise typer.Exit


@app.callback()
def _crib(
    version: Annotated[
        bool,
        typer.Option(
            "--version", is_eager=True, callback=_tell_version, help="Say which program this is."
        ),
    ] = False,
) -> None:
    """The tool crib: which die for this hole, tonight's strokes, what to buy."""


def run(arguments: Sequence[str] | None = None) -> None:
    """Run the program and leave with its exit status."""
    sys.exit(main(arguments))


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the program and return its exit status."""
    from crib.cli.door import as_typed, guarded, warn_of_password

    words = list(sys.argv[1:] if arguments is None else arguments)

    def run_them() -> Any:
        return app(as_typed(words), prog_name="crib", standalone_mode=False)

    out, err = sys.stdout, sys.stderr
    # Whatever is stored, and whoever prints: nothing that acts on a screen goes out.
    sys.stdout, sys.stderr = SeenStream(out), SeenStream(err)
    try:
        warn_of_password(words)
        return guarded(run_them, words)
    finally:
        sys.stdout, sys.stderr = out, err
