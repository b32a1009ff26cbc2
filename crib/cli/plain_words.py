"""The class of every command: words as they were typed, and a key where it writes.

Typer reads every parameter through an adapter of pydantic, even a default. Loading pydantic takes
longer than finding the answer, and most parameters here are text, which it hands on unchanged.
"""

from __future__ import annotations

import os
import re
from functools import cache
from typing import Any

from typer.core import TyperCommand, TyperGroup, TyperOption

from crib.cli.answered_from import asking
from crib.cli.command_list import OF_NO_SITE, WRITES
from crib.cli.keyed import PARAMETER, keyed_call

_SITE = "at_site"
_SITE_HELP = "At which site you are, in a crib of several; all for every one."
KEY_HELP = "Do it once, however often it is sent with this key."

_SIGNED = re.compile(r"^-(?=[0-9.])")


class PlainCommand(TyperCommand):
    """A command whose parameters read only what is not plain words; one that writes takes a key."""

    _key: Any = None
    _typed: tuple[str, ...] = ()

    def get_params(self, ctx: Any) -> list[Any]:
        """The command's parameters, and the key of one that writes."""
        params: list[Any] = with_site(super().get_params(ctx))
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
        site = asked_by(ctx)
        if not key:
            return super().invoke(ctx)
        means = {**ctx.params, "site": site} if site else ctx.params
        with keyed_call(key, name_of(ctx), means, self._typed):
            return super().invoke(ctx)


class PhraseCommand(PlainCommand):
    """A command that takes a feature's phrase, in which ``-0`` is a tolerance and no option."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The command's words, a minus before a number written as the sign that it is."""
        return super().parse_args(ctx, [_SIGNED.sub("−", word) for word in args])


class PlainGroup(TyperGroup):
    """A group of commands whose own parameters read only what is not plain words."""

    def get_params(self, ctx: Any) -> list[Any]:
        """The group's own parameters, and the asker's site."""
        return with_site(super().get_params(ctx))

    def invoke(self, ctx: Any) -> Any:
        """Run the group's own command, or the one that follows."""
        asked_by(ctx)
        return super().invoke(ctx)

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The words before a command and after it, taken apart."""
        _spare(self.get_params(ctx))
        return super().parse_args(ctx, args)


def with_site(params: list[Any]) -> list[Any]:
    """A command's parameters with the asker's site, where it opens a crib and sets no site.

    It stands in no help but that of ``crib site``: most cribs have none.
    """
    crib = next((one for one in params if one.name == "crib"), None)
    if crib is None or any("--site" in one.opts for one in params):
        return params
    return [*params[:-1], _site_like(crib), params[-1]]


@cache
def _site_like(crib: Any) -> Any:
    """The option of the asker's site, once for each command: text as the one for the crib is."""
    return TyperOption(
        param_decls=[_SITE, "--site"],
        type_descriptor=crib.type_descriptor,
        default="",
        envvar="CRIB_SITE",
        metavar="NAME",
        hidden=True,
        help=_SITE_HELP,
    )


def asked_by(ctx: Any) -> str:
    """Keep where and who the asker is for the crib that is opened; returns the site that was said.

    A sub-command without a word of it asks from where its group does.
    """
    site = ctx.params.pop(_SITE, "") or os.environ.get("CRIB_SITE", "")
    asking(site, ctx.params.get("by") or "", writes=name_of(ctx) in WRITES - OF_NO_SITE)
    return str(site)


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
