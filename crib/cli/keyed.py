"""A command that is sent with a key, so that it is done once however often it is sent."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from crib.stock.engine.place import without_passwords

PARAMETER = "once_key"
NOT_OF_THE_REQUEST = (PARAMETER, "as_json", "crib")
READ_FILES = {"log": "words", "grind": "tags", "import": "source", "plan": "files"}
"""The commands that read files, and the parameter that names them: what is in a file counts."""


@dataclass
class Keyed:
    """A command being run with a key; ``told`` is its answer in both faces, once there is one.

    ``stack`` holds the crib's transaction open until the command has answered.
    """

    key: str
    command: str
    means: str
    words: str
    by: str
    as_json: bool
    stack: ExitStack = field(default_factory=ExitStack)
    told: dict[str, Any] | None = None


_NOW: ContextVar[Keyed | None] = ContextVar("keyed", default=None)


def keyed_now() -> Keyed | None:
    """The command being run, when it was sent with a key."""
    return _NOW.get()


@contextmanager
def keyed_call(
    key: str, command: str, parameters: Mapping[str, Any], typed: Sequence[str]
) -> Iterator[None]:
    """Run a command with a key."""
    import json
    import shlex

    asked = {name: value for name, value in parameters.items() if name not in NOT_OF_THE_REQUEST}
    contents = _contents(asked.get(READ_FILES.get(command, "")))
    means = json.dumps([asked, contents], default=str, sort_keys=True, ensure_ascii=False)
    words = without_passwords(shlex.join(["crib", *command.split(), *_without_key(typed)]))
    by, as_json = str(asked.get("by") or ""), bool(parameters.get("as_json"))
    call = Keyed(key, command, means, words, by, as_json)
    token = _NOW.set(call)
    try:
        with call.stack:
            yield
    finally:
        _NOW.reset(token)


def _contents(named: Any) -> list[str]:
    """A fingerprint of each file that is named."""
    import hashlib

    paths = [Path(str(one)) for one in (named if isinstance(named, list | tuple) else [named])]
    return [hashlib.sha256(path.read_bytes()).hexdigest() for path in paths if path.is_file()]


def _without_key(typed: Sequence[str]) -> Iterator[str]:
    words = iter(typed)
    for word in words:
        if word == "--key":
            next(words, None)
        elif word != "--json" and not word.startswith("--key="):
            yield word
