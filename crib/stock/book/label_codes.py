"""What the codes on labels say: a tag or a drawer's name, or the page's address of either.

A label outlives the address it was printed with: of an address only what stands behind the host is
read, so that it means the same when the crib has moved.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal
from urllib.parse import quote, unquote

CodeSort = Literal["piece", "drawer"]
_ADDRESS = re.compile(r"https?://[^/\s]+/(piece|drawer)/([^?#\s]+)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class LabelCode:
    """What a code means; ``sort`` is empty where it holds only a name, which may be either."""

    sort: CodeSort | Literal[""]
    name: str


def written_code(address: str, sort: CodeSort, name: str) -> str:
    """The text of a code: the page's address of a piece or a drawer, or the name alone."""
    return f"{address}/{sort}/{quote(name, safe='')}" if address else name


def read_code(text: str) -> LabelCode:
    """What was scanned or typed: an address of the page, else a tag or a name as it stands."""
    found = _ADDRESS.fullmatch(text.strip())
    if found is None:
        return LabelCode("", text.strip())
    sort: CodeSort = "piece" if found[1].lower() == "piece" else "drawer"
    return LabelCode(sort, unquote(found[2]))
