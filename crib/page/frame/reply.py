"""What a view replies: a page to draw, an act done, or another address."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, TypeAlias

from crib.page.frame.request import PageRequest


@dataclass(frozen=True)
class Shown:
    """A template of ``views`` with its values; ``result`` is what a program is answered instead."""

    template: str
    values: Mapping[str, Any] = field(default_factory=dict)
    result: Any = None
    status: int = 200


@dataclass(frozen=True)
class Done:
    """An act that is on the disk: what is told of it, by a text's key, and where to go next."""

    to: str
    told: str
    slots: Mapping[str, Any] = field(default_factory=dict)
    result: Any = None


@dataclass(frozen=True)
class GoTo:
    """Another address to look at. ``person`` is who is at the device now."""

    to: str
    person: str | None = None
    headers: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Drawing:
    """A picture or a file by itself."""

    body: bytes
    media_type: str = "image/svg+xml"
    file_name: str = ""


Reply: TypeAlias = "Shown | Done | GoTo | Drawing"
Method = Literal["GET", "POST"]


@dataclass(frozen=True)
class FormField:
    """A field of an address or a form, as the list for programs tells it.

    ``what`` is a text's key; ``sort`` is text, whole, flag or file.
    """

    name: str
    sort: Literal["text", "whole", "flag", "file"] = "text"
    needed: bool = False
    many: bool = False


@dataclass(frozen=True)
class View:
    """One address of the page: how it is asked, what takes it, and what it may take.

    ``keeps`` says that an answer holds until the crib changes; ``slow`` that it may take seconds.
    ``writes`` is an act in the crib: its post carries a key and is done once. ``guards`` lets
    somebody in, and is logged as a write is. ``needs_person`` asks for a name first. ``open_to`` is
    who may ask: a paired device, or anybody. ``before`` works out what an act is done with, beside
    the thread that writes and before the crib is locked; the act finds it as ``ready``, and only
    has to see that it still stands. ``form`` draws the form that was sent: where something
    in it is wrong, again, with all that was typed.
    """

    path: str
    answer: Callable[[PageRequest], Reply]
    method: Method = "GET"
    takes: tuple[FormField, ...] = ()
    keeps: bool = True
    slow: bool = False
    writes: bool = False
    guards: bool = False
    needs_person: bool = False
    open_to: Literal["paired", "anybody"] = "paired"
    form: Callable[[PageRequest], Reply] | None = None
    before: Callable[[PageRequest], Any] | None = None
