"""The words that stand in a drawing: shown as they are, and what they say offered, never taken.

A thickness, a quantity, a material or "4X" beside a hole may belong to another part of the sheet,
to an earlier revision or to a note about something else; a person decides.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from crib import units
from crib.acts import Act, act, joined, saying
from crib.errors import CribError
from crib.files.drawings.dxf_chains import Source
from crib.files.drawings.parts import ReadNote
from crib.trade.shop.shop_rules import Rules
from crib.units import System

WORDED = frozenset(("TEXT", "MTEXT", "ATTRIB", "DIMENSION", "MULTILEADER", "MLEADER", "ARC_TEXT"))
"""Types of entities that carry words."""
MOST_SHOWN = 20
_LONGEST = 80
_MOST_WORDS = 2_000
_SAME_THICKNESS_MM = 0.01
_THICKEST_MM = 160.0
_SIZE = r"(\d+[ -]\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?)\s*(mm|in\b|\"|″)?"
_THICK = (
    re.compile(rf"\b(?:thk|thick(?:ness)?|dicke|gauge plate|t\s*(?==))\.?\s*[:=]?\s*{_SIZE}", re.I),
    re.compile(rf"(?<![\w./]){_SIZE}\s*(?:thk|thick|dick)\b", re.I),
    re.compile(rf"\b(?:pl|plate|bl|blech)\.?\s*{_SIZE}(?!\s*/)", re.I),
)
_MANY = (
    re.compile(
        r"\b(?:qty|quantity|anzahl|stück|stückzahl|stk|no\.? off)\.?\s*[:=]?\s*(\d+)\b", re.I
    ),
    re.compile(r"\b(\d+)\s*(?:off|req'?d|required|pcs|pieces|stk|stück)\b", re.I),
)
_TIMES = re.compile(
    rf"(?:^|[\s(])(\d{{1,3}})\s*(?:[x×](?!\s*\d)|holes?\b|places?\b|plcs?\b)"
    rf"\s*(?:(?:[ø⌀∅]|dia\.?)\s*{_SIZE})?",
    re.I,
)
_GRADE = re.compile(r"\b[A-Za-z]{1,3}\d{2,4}[A-Za-z0-9]*(?:-\d{2,3})?\b")
_DIAMETER_CODES = (("%%c", "Ø"), ("%%C", "Ø"), ("%%d", "°"), ("%%D", "°"), ("%%p", "±"))


@dataclass(frozen=True, slots=True)
class DrawnText:
    """Words, where they stand in mm, and what wrote them."""

    words: str
    at: complex
    source: Source


@dataclass(frozen=True, slots=True)
class Callout:
    """What a text says of holes: how many, of which size if it says one, and where it stands."""

    count: int
    size_mm: float | None
    text: DrawnText


def words_of(entity: Any) -> tuple[str, complex]:
    """The words of an entity in one line and where they stand; empty for one that has none."""
    kind, own = entity.dxftype(), entity.dxf
    if kind == "DIMENSION":
        # What is written by hand instead of the size; <> stands for the size itself.
        words, place = str(own.get("text", "") or ""), own.get("text_midpoint")
        words = "" if words.strip() in ("", "<>") else words
    elif kind in ("MULTILEADER", "MLEADER"):
        words, place = entity.get_mtext_content(), entity.context.base_point
    else:
        plain = kind == "MTEXT"
        words, place = entity.plain_text() if plain else str(own.text), own.get("insert")
    for code, sign in _DIAMETER_CODES:
        words = words.replace(code, sign)
    at = complex(place.x, place.y) if place is not None else 0j
    return " ".join(words[:_MOST_WORDS].split()), at


def word_notes(
    texts: Sequence[DrawnText], system: System, thickness_mm: float | None
) -> Iterator[ReadNote]:
    """The words of a drawing, each once with how often they stand there, and what they offer."""
    counts: dict[tuple[str, str], list[DrawnText]] = {}
    for text in texts:
        counts.setdefault((text.words, text.source.layer), []).append(text)
    silent = 0
    for (words, layer), same in counts.items():
        source = same[0].source
        offered = list(_offered(words, system, thickness_mm))
        # What offers something is always shown, of the rest the first.
        silent += not offered
        if offered or silent <= MOST_SHOWN:
            count = f"{len(same)} x " if len(same) > 1 else ""
            said = "".join(f", {what}" for what, _ in offered)
            text_now = f"{count}{source.kind} on layer {layer[:60]!r}: {_short(words)!r}{said}"
            acts = [saying(one) for _, one in offered if one]
            way_out = saying("to take it say ", joined(" or ", acts)) if acts else ""
            yield ReadNote(source.line, text_now, way_out)
    if silent > MOST_SHOWN:
        yield ReadNote(0, f"{silent - MOST_SHOWN} more texts are not shown")


def _short(words: str) -> str:
    return words if len(words) <= _LONGEST else f"{words[: _LONGEST - 3]}..."


def _offered(
    words: str, system: System, thickness_mm: float | None
) -> Iterator[tuple[str, Act | None]]:
    """What words say of thickness, quantity and material, each once with the act that takes it."""
    for size in dict.fromkeys(_sizes(words, system)):
        if thickness_mm is None:
            yield f"{size} thick", act("say.thickness", thickness=size)
        elif abs(units.read_length_mm(size, system) - thickness_mm) > _SAME_THICKNESS_MM:
            yield f"{size} thick, read as {thickness_mm:g} mm as told", None
    many = (found[1] for pattern in _MANY for found in pattern.finditer(words))
    for count in dict.fromkeys(int(figure[:7]) for figure in many):
        yield f"{count} pieces", act("say.quantity", quantity=count)
    for grade in dict.fromkeys(_grades(words)):
        yield f"material {grade}", act("say.material", material=grade)


def _sizes(words: str, system: System) -> Iterator[str]:
    """The thicknesses in a text, each as it is typed, with its unit."""
    for pattern in _THICK:
        for found in pattern.finditer(words):
            typed = _typed(found[1], found[2], system)
            if typed:
                yield typed


def _typed(figure: str, unit: str | None, system: System) -> str:
    """A size as one types it; empty for one that is none."""
    word = "mm" if unit == "mm" or (not unit and system == "mm" and "/" not in figure) else "in"
    typed = f"{figure.replace(',', '.').strip()}{word}"
    try:
        return typed if 0 < units.read_length_mm(typed, system) <= _THICKEST_MM else ""
    except CribError:
        return ""


def _grades(words: str) -> Iterator[str]:
    """The grades in a text that the trade knows by that name; nothing is taken for another."""
    rules = Rules.defaults()
    for found in _GRADE.finditer(words):
        try:
            yield rules.material(found[0]).name
        except CribError:
            continue


def callouts(texts: Sequence[DrawnText], system: System) -> list[Callout]:
    """What texts say of how many holes there are, as "4X", "4 x Ø18" or "6 holes"."""
    made = []
    for text in texts:
        for found in _TIMES.finditer(text.words):
            if int(found[1]) > 1:
                typed = _typed(found[2], found[3], system) if found[2] else ""
                size_mm = units.read_length_mm(typed, system) if typed else None
                made.append(Callout(int(found[1]), size_mm, text))
    return made
