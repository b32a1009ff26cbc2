"""Where a crib lies: a file, or a database on a server."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias
from urllib.parse import urlsplit, urlunsplit

SERVER_SCHEMES = ("postgresql", "postgres")


@dataclass(frozen=True, slots=True)
class ServerPlace:
    """A database on a server; its password is never shown."""

    url: str

    @property
    def name(self) -> str:
        """The database's name."""
        return urlsplit(self.url).path.removeprefix("/") or "crib"

    def __str__(self) -> str:
        parts = urlsplit(self.url)
        user, at, host = parts.netloc.rpartition("@")
        netloc = f"{user.partition(':')[0]}{at}{host}"
        return urlunsplit((parts.scheme, netloc, parts.path, "", ""))

    def __repr__(self) -> str:
        return f"ServerPlace({str(self)!r})"


Place: TypeAlias = "Path | ServerPlace"
"""What a crib is opened by."""


def is_server(text: str) -> bool:
    """Whether what was typed names a server."""
    return text.partition("://")[0].lower() in SERVER_SCHEMES and "://" in text
