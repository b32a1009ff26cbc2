"""Words that a command takes as they were typed, without loading what would read them.

Typer reads every parameter through an adapter of pydantic, even a default. Loading pydantic takes
longer than finding the answer, and most parameters here are text, which it hands on unchanged.
"""

from __future__ import annotations

from typing import Any

from typer.core import TyperCommand, TyperGroup


class PlainCommand(TyperCommand):
    """A command whose parameters read only what is not plain words."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The command's words, taken apart into its parameters."""
        _spare(self.get_params(ctx))
        return super().parse_args(ctx, args)


class PlainGroup(TyperGroup):
    """A group of commands whose own parameters read only what is not plain words."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The words before a command and after it, taken apart."""
        _spare(self.get_params(ctx))
        return super().parse_args(ctx, args)


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
