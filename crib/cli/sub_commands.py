"""A command of several sub-commands: the first of them is meant where none is named."""

from __future__ import annotations

from typing import Any

from crib.cli.plain_words import PlainGroup


class SubCommands(PlainGroup):
    """The sub-commands of one command.

    Words that begin with no sub-command belong to the first one, and options typed before a
    sub-command go to it, so that none is lost.
    """

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Read the command's own options, and hand them on where a sub-command follows."""
        typed = list(args)
        behind = super().parse_args(ctx, args)
        if ctx._protected_args:
            ctx.args = [*typed[: len(typed) - len(behind) - 1], *behind]
        return behind

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """The sub-command of the first word, else the first of all with every word."""
        name = args[0].lower()
        if name in self.commands:
            return super().resolve_command(ctx, [name, *args[1:]])
        return super().resolve_command(ctx, [next(iter(self.commands)), *args])
