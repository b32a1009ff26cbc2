"""Every public function of the trade says where its figure is from and in which unit it is."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest

import crib.trade

_UNIT = re.compile(r"\[[^\]]+\]")
_SECTION = re.compile(r"^(Args|Returns|Raises|Example):$", re.MULTILINE)
_ARGUMENT = re.compile(r"^    (\*{0,2}\w+): ", re.MULTILINE)

_Function = Callable[..., Any]


def _public_functions() -> Iterator[tuple[str, _Function]]:
    for info in pkgutil.walk_packages(crib.trade.__path__, "crib.trade."):
        module = importlib.import_module(info.name)
        for name, thing in vars(module).items():
            own = getattr(thing, "__module__", "") == module.__name__
            if own and not name.startswith("_") and _is_function(thing):
                yield f"{info.name.removeprefix('crib.trade.')}.{name}", inspect.unwrap(thing)


def _is_function(thing: object) -> bool:
    return inspect.isfunction(inspect.unwrap(thing)) if callable(thing) else False


_FUNCTIONS = dict(_public_functions())
_EACH = pytest.mark.parametrize("function", _FUNCTIONS.values(), ids=_FUNCTIONS.keys())


def _text(function: _Function) -> str:
    return inspect.getdoc(function) or ""


def _section(function: _Function, name: str) -> str:
    parts = _SECTION.split(_text(function))
    return dict(zip(parts[1::2], parts[2::2], strict=True)).get(name, "")


def _documented(function: _Function) -> dict[str, str]:
    parts = _ARGUMENT.split(_section(function, "Args"))
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def _written(parameter: inspect.Parameter) -> str:
    stars = "**" if parameter.kind is inspect.Parameter.VAR_KEYWORD else ""
    return f"{stars}{parameter.name}"


def test_there_are_functions_to_look_at() -> None:
    assert len(_FUNCTIONS) > 50


@_EACH
def test_the_first_line_is_a_sentence(function: _Function) -> None:
    first = _text(function).partition("\n\n")[0]
    assert first.endswith(".")
    assert first[0].isupper()


@_EACH
def test_a_source_is_given(function: _Function) -> None:
    source = re.search(r"^Source: (\S.*)", _text(function), re.MULTILINE)
    assert source is not None


@_EACH
def test_the_documented_arguments_are_the_ones_of_the_signature(function: _Function) -> None:
    parameters = inspect.signature(function).parameters.values()
    assert list(_documented(function)) == [_written(parameter) for parameter in parameters]


@_EACH
def test_every_argument_has_a_unit(function: _Function) -> None:
    for name, text in _documented(function).items():
        assert _UNIT.search(text), name


@_EACH
def test_what_is_returned_has_a_unit(function: _Function) -> None:
    returns_nothing = inspect.signature(function).return_annotation in (None, "None")
    assert returns_nothing or _UNIT.search(_section(function, "Returns"))


@_EACH
def test_an_example_is_given(function: _Function) -> None:
    assert ">>> " in _section(function, "Example")
