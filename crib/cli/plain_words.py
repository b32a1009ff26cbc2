"""The class of every command: words as they were typed, and a key where it writes.

Typer reads every parameter through an adapter of pydantic, even a default. Loading pydantic takes
longer than finding the answer, and most parameters here are text, which it hands on unchanged.
"""

from __future__ import annotations

import re
from typing import Any

from typer.core import TyperCommand, TyperGroup, TyperOption

from crib.cli.command_list import WRITES
from crib.cli.keyed import PARAMETER, keyed_call

KEY_HELP = "Do it once, however often it is sent with this key."

_SIGNED = re.compile(r"^-(?=[0-9.])")


class PlainCommand(TyperCommand):
    """A command whose parameters read only what is not plain words; one that writes takes a key."""

    _key: Any = None
    _typed: tuple[str, ...] = ()

    def get_params(self, ctx: Any) -> list[Any]:
        """The command's parameters, and the key of one that writes."""
        params: list[Any] = super().get_params(ctx)
        if name_of(ctx) not in WRITES:
            return params
        if self._key is None:
            text = next(one for one in params if one.name == "crib").type_descriptor
            self._key = TyperOption(
                param_decls=[PARAMETER, "--key"],
                type_descriptor=text,
                default="",
                metavar="KEY",
                help=KEY_HELP,
            )
        return [*params[:-1], self._key, params[-1]]

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The command's words, taken apart into its parameters."""
        self._typed = tuple(args)
        _spare(self.get_params(ctx))
        return super().parse_args(ctx, args)

    def invoke(self, ctx: Any) -> Any:
        """Run the command, with its key where one was given."""
        key = ctx.params.pop(PARAMETER, "")
        if not key:
            return super().invoke(ctx)
        with keyed_call(key, name_of(ctx), ctx.params, self._typed):
            return super().invoke(ctx)


class PhraseCommand(PlainCommand):
    """A command that takes a feature's phrase, in which ``-0`` is a tolerance and no option."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The command's words, a minus before a number written as the sign that it is."""
        return super().parse_args(ctx, [_SIGNED.sub("−", word) for word in args])


class PlainGroup(TyperGroup):
    """A group of commands whose own parameters read only what is not plain words."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The words before a command and after it, taken apart."""
        _spare(self.get_params(ctx))
        return super().parse_args(ctx, args)


def name_of(ctx: Any) -> str:
    """A command's name as it is typed behind ``crib``."""
    return str(ctx.command_path).removeprefix("crib ")


def _spare(parameters: list[Any]) -> None:
    for parameter in parameters:
        parameter.process_value = _process(parameter, parameter.process_value)


def _process(parameter: Any, read: Any) -> Any:
    def process_value(ctx: Any, value: Any) -> Any:
        if not (_is_default(parameter, value) or _is_words(parameter, value)):
            return read(ctx, value)
        return parameter.callback(ctx, parameter, value) if parameter.callback else value

    return process_value


def _is_default(parameter: Any, value: Any) -> bool:
    return not parameter.required and value is parameter.default


def _is_words(parameter: Any, value: Any) -> bool:
    """Whether it is text where text is expected; nothing where something must be said is not."""
    wanted = parameter.type_descriptor.annotation
    if wanted is str:
        return isinstance(value, str)
    return wanted == list[str] and bool(value) and all(isinstance(word, str) for word in value)
