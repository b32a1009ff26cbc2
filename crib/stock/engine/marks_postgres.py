"""The marks of a statement as PostgreSQL's driver writes them, outside texts and remarks."""

from __future__ import annotations

import re
from functools import lru_cache

_TOKEN = re.compile(
    r"'(?:[^']|'')*'"  # a text
    r'|"(?:[^"]|"")*"'  # a name in quotes
    r"|--[^\n]*"  # a remark
    r"|::\w+"  # a cast
    r"|(?<![\w:]):([a-z_]\w*)"
    r"|\?"
    r"|%"
)


_LOWERED = re.compile(r"\blower\((%s|%\(\w+\)s)\)")


@lru_cache(maxsize=2_000)
def with_driver_marks(sql: str) -> str:
    """The same statement with ``%s`` for ``?``, ``%(name)s`` for ``:name`` and ``%%`` for ``%``.

    A text that is given is made lower as the tables' own texts are, letters from A to Z only,
    whatever the database's language is.
    """

    def marked(token: re.Match[str]) -> str:
        text = token[0]
        if text == "?":
            return "%s"
        if token[1]:
            return f"%({token[1]})s"
        return text.replace("%", "%%")

    return _LOWERED.sub(r'lower(\1 COLLATE "C")', _TOKEN.sub(marked, sql))
