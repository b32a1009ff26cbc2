"""Which kinds of feature there are: every file of a wing that defines ``FEATURE``."""

from __future__ import annotations

import pkgutil
from dataclasses import replace
from difflib import get_close_matches
from functools import lru_cache
from importlib import import_module
from importlib.util import find_spec
from typing import Any, cast

from crib import features
from crib.features.common.ask import Ask, FeatureKind
from crib.features.common.asked_tool import AskedTool
from crib.features.common.phrase import Words
from crib.features.common.phrase_form import PhraseForm
from crib.features.common.plate_phrase import Reading, late_plate
from crib.features.common.spoken import feature_to_front, sizes_in_front
from crib.features.common.which_unit import ask_which_unit


@lru_cache(maxsize=1)
def feature_kinds() -> dict[str, FeatureKind]:
    """Every kind of feature by its word and its other words, in the order of their files' names."""
    kinds: dict[str, FeatureKind] = {}
    for name in sorted(_files(), key=lambda module: module.rpartition(".")[2]):
        kind = _kind_in(name)
        if kind:
            kinds.update(dict.fromkeys((kind.word, *kind.also), kind))
    return kinds


def asked_tools() -> tuple[AskedTool, ...]:
    """Every sort of tool that some feature asks for, each once."""
    kinds = {kind.word: kind for kind in feature_kinds().values()}
    return tuple(dict.fromkeys(tool for kind in kinds.values() for tool in kind.tools))


def phrase_forms() -> dict[str, tuple[PhraseForm, FeatureKind]]:
    """Every form of a phrase by its name, with its kind."""
    kinds = {kind.word: kind for kind in feature_kinds().values()}
    return {form.name: (form, kind) for kind in kinds.values() for form in kind.forms}


def feature_called(word: str) -> FeatureKind | None:
    """The kind of a word, also in the plural.

    A file that is named after its word is read alone, the others are not.
    """
    words = tuple(dict.fromkeys((word, word.removesuffix("s"), word.removesuffix("es"))))
    own = next((kind for kind in map(_own_file, words) if kind), None)
    return own or next((kind for kind in map(feature_kinds().get, words) if kind), None)


@lru_cache(maxsize=64)
def _own_file(word: str) -> FeatureKind | None:
    if word.isidentifier():
        for wing in _wings():
            kind = _kind_in(f"{wing}.{word}") if find_spec(f"{wing}.{word}") else None
            if kind and kind.word == word:
                return kind
    return None


@lru_cache(maxsize=1)
def _wings() -> tuple[str, ...]:
    modules = pkgutil.iter_modules(features.__path__)
    return tuple(f"{features.__name__}.{module.name}" for module in modules if module.ispkg)


def _files() -> list[str]:
    """Every file of every wing, as a module's name."""
    return [
        f"{wing}.{module.name}"
        for wing in _wings()
        for module in pkgutil.iter_modules(import_module(wing).__path__)
    ]


def _kind_in(module: str) -> FeatureKind | None:
    kind = getattr(import_module(module), "FEATURE", None)
    return kind if isinstance(kind, FeatureKind) else None


def phrase_example(ask: Ask) -> str:
    """A right phrase of the ask's kind."""
    kind = feature_called(ask.feature)
    return kind.example if kind else ""


def read_ask(words: Words, reading: Reading) -> Ask:
    """Read a feature from the words, and leave what follows it to the caller.

    Raises:
        BadPhrase: pointing at the word that cannot be read.
    """
    feature_to_front(words, _kind_word)
    before = sizes_in_front(words.rest())
    first = words.take()
    kind = feature_called(first.plain)
    if kind is None:
        kinds = feature_kinds()
        for _size in range(before):
            first = words.take()
        near = get_close_matches(first.plain, kinds, n=1, cutoff=0.6)
        example = kinds[near[0]].example if near else kinds["hole"].example
        known = ", ".join(dict.fromkeys(each.word for each in kinds.values()))
        said = f"{first.text!r} is not a feature" if first.text else "no feature named"
        raise words.wrong(first.start, first.end, f"{said}; known: {known}", example)
    ask: Any = kind.read(words, reading)
    plate = late_plate(ask.plate, words, reading, kind.example)
    return cast(Ask, ask if plate is ask.plate else replace(ask, plate=plate))


def _kind_word(word: str) -> str:
    kind = feature_called(word)
    return kind.word if kind else ""


def read_phrase(text: str, reading: Reading, *, typed: bool = False) -> Ask:
    """Read a whole phrase; of one that a person typed, what nobody can mean is asked back.

    Raises:
        BadPhrase: pointing at the word that cannot be read.
    """
    words = Words(text)
    ask = read_ask(words, reading)
    words.must_be_done(phrase_example(ask))
    if typed:
        ask_which_unit(words, ask, reading)
    return ask
