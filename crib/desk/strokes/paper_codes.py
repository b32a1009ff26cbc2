"""The codes of printed lines, such as ``7-3`` for sheet 7, line 3, and what each stands for."""

from __future__ import annotations

import re
from collections.abc import Iterable

from crib.desk.strokes.log_book import KnownLine
from crib.errors import BadValue, UnknownName
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import pieces_by_tags
from crib.stock.writers.papers import PrintedLine, last_paper, paper_is_kept, printed_lines

_CODE = re.compile(r"([1-9][0-9]{0,8})-([1-9][0-9]{0,3})")
_MOST_NAMED = 12


def format_code(paper: int, line: int) -> str:
    """The code of a line as it is printed.

    Raises:
        BadValue: for a number that no code can hold.
    """
    code = f"{paper}-{line}"
    if parse_code(code) is None:
        message = f"sheet {paper} line {line} has no code: both must be > 0"
        raise BadValue(message)
    return code


def parse_code(text: str) -> tuple[int, int] | None:
    """Sheet and line of a code; None for a word that is none."""
    found = _CODE.fullmatch(text.strip())
    return (int(found[1]), int(found[2])) if found else None


def code_words(words: Iterable[str]) -> set[str]:
    """Those of some words that are written like a code."""
    return {word.strip() for word in words if parse_code(word)}


class PrintedCodes:
    """Looks codes up, each sheet once. A tag that is written like a code is a tag."""

    def __init__(self, session: Session, words: Iterable[str]) -> None:
        """``words`` are all words that may be codes."""
        self._session = session
        self._sheets: dict[int, dict[int, PrintedLine]] = {}
        self._tags = set(pieces_by_tags(session, code_words(words)))

    def known(self, word: str) -> KnownLine | None:
        """What a code stands for; None for a word that is no code.

        Raises:
            UnknownName: for a code that was never printed; names the sheet's lines.
        """
        parsed = parse_code(word)
        if parsed is None or word.strip() in self._tags:
            return None
        paper, line = parsed
        if paper not in self._sheets:
            self._sheets[paper] = printed_lines(self._session, paper)
        found = self._sheets[paper].get(line)
        if found is None:
            raise self._unknown(paper, line)
        return KnownLine(
            tag=found.tag,
            die_tag=found.die_tag,
            beside=found.beside or None,
            thickness_mm=found.thickness_mm,
            material=found.material,
            job=found.job,
            code=format_code(paper, line),
        )

    def _unknown(self, paper: int, line: int) -> UnknownName:
        if not paper_is_kept(self._session, paper):
            last = last_paper(self._session)
            message = f"there is no stroke sheet {paper}"
            known = f"; the last one printed is {last}" if last else "; none was printed yet"
            return UnknownName(message + known, way_out="the number stands at the top of the sheet")
        lines = self._sheets[paper].values()
        named = [f"{paper}-{one.line} {one.tag}" for one in lines][:_MOST_NAMED]
        more = f" and {len(lines) - len(named)} more" if len(lines) > len(named) else ""
        listed = ", ".join(named) + more if named else "none, only blank ones"
        return UnknownName(
            f"sheet {paper} has no line {line}; its lines: {listed}",
            way_out="a line written by hand goes in by its tag: P-0137 400 thru 3/8 A36",
        )
