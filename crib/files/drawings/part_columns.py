"""The columns of a list of parts, and the phrase that a row of sizes comes to."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from crib.files.tables.list_tables import ListTable
from crib.files.tables.table_shape import Column, Table, plain_word

_PHRASE = Column(
    "phrase",
    "phrase",
    "the feature, as one asks for it",
    "hole 13/16 thru 3/8 A36",
    needed=True,
    aliases=("feature", "ask", "what", "shape", "Art", "Form", "Merkmal", "Bearbeitung"),
)
_QUANTITY = Column(
    "quantity",
    "quantity",
    "how many of it",
    "24",
    "count",
    aliases=(
        "qty",
        "count",
        "number",
        "pieces",
        "pcs",
        "no of",
        "no. off",
        "Anzahl",
        "Stück",
        "Stueck",
        "Stk",
        "Stückzahl",
        "Menge",
    ),
)
_EACH = Column(
    "each",
    "each",
    "how often it is in each piece",
    "4",
    "count",
    aliases=("per piece", "per part", "in each", "je Teil", "pro Teil", "je Stück"),
)
_MARK = Column(
    "mark",
    "mark",
    "the part",
    "P-7",
    aliases=(
        "part",
        "piece mark",
        "part mark",
        "part no",
        "pos",
        "position",
        "Teil",
        "Bauteil",
        "Teil-Nr",
        "Teilenummer",
        "Positionsnummer",
        "Pos-Nr",
    ),
)
_SIZE = Column(
    "size",
    "size",
    "how large it is",
    "18",
    needed=True,
    aliases=(
        "dia",
        "diameter",
        "hole dia",
        "hole size",
        "Ø",
        "ø",
        "⌀",
        "Durchmesser",
        "Dm",
        "Lochdurchmesser",
        "Loch Ø",
        "Größe",
    ),
)
_LONG = Column(
    "long",
    "long",
    "its other size",
    "50",
    aliases=("slot length", "long side", "Langlochlänge", "lange Seite"),
)
_THICKNESS = Column(
    "thickness",
    "thickness",
    "of the plate",
    "10",
    aliases=(
        "thk",
        "thick",
        "thru",
        "t",
        "plate",
        "Dicke",
        "Blechdicke",
        "Materialdicke",
        "Stärke",
        "Blechstärke",
    ),
)
_MATERIAL = Column(
    "material",
    "material",
    "its grade",
    "S355",
    aliases=("grade", "steel", "mat", "Werkstoff", "Güte", "Guete", "Stahlgüte", "Stahlsorte"),
)
_SIZES = ("size", "long", "thickness")
OF_A_PHRASE = ("phrase", *_SIZES, "material")
"""The columns whose cells come to the phrase of a line."""
_COLUMNS = (_PHRASE, _QUANTITY, _EACH, _MARK, _SIZE, _LONG, _THICKNESS, _MATERIAL)
PARTS = Table(
    name="parts",
    record="",
    help="What parts need, one feature a line.",
    columns=tuple(replace(one, needed=one is _PHRASE) for one in _COLUMNS),
    figures_of="mark",
    sizes=_SIZES,
)
"""A list of phrases: each says all, or its thickness and grade stand in columns."""
SIZED_PARTS = replace(PARTS, columns=tuple(replace(one, needed=False) for one in _COLUMNS))
"""A list of sizes: what is not said to be anything else is a hole."""

_KINDS = {
    **dict.fromkeys(("", "hole", "holes", "round", "Loch", "Bohrung", "Rundloch", "rund"), "hole"),
    **dict.fromkeys(("slot", "obround", "oval", "Langloch"), "slot"),
    **dict.fromkeys(("square", "sq", "Quadrat", "Vierkant", "quadratisch"), "square"),
    **dict.fromkeys(("rectangle", "rect", "Rechteck", "rechteckig"), "rectangle"),
    **dict.fromkeys(("hexagon", "hex", "Sechskant"), "hexagon"),
}
_KIND_OF = {plain_word(word): kind for word, kind in _KINDS.items()}
_PLAIN = ("qty", "part")
"""Headings that say what they are taken for."""


class NoPhrase(Exception):
    """What the cells of a row lack or say twice; the column, and what is wrong there."""

    def __init__(self, text: str, column: str) -> None:
        super().__init__(text)
        self.text, self.column = text, column


def phrase_of_row(values: dict[str, Any]) -> str:
    """The phrase that the cells of a row come to.

    Raises:
        NoPhrase: when they say no feature, or say something twice.
    """
    said, size, long, thickness, material = (
        " ".join(str(values[name] or "").split()) for name in OF_A_PHRASE
    )
    words = [said]
    if size:
        words = _sized(said, size, long)
    elif not said:
        text = "it is empty; write a size, or a phrase"
        raise NoPhrase(text, "size")
    elif long:
        text = "the other size stands here, and no size"
        raise NoPhrase(text, "long")
    if thickness:
        if plain_word("thru") in {plain_word(word) for word in said.split()}:
            text = f"{thickness} stands here, and the phrase says a thickness too"
            raise NoPhrase(text, "thickness")
        words += ["thru", thickness]
    return " ".join([*words, *([material] if material else [])])


def _sized(said: str, size: str, long: str) -> list[str]:
    kind = _KIND_OF.get(plain_word(said))
    if kind is None:
        text = f"{said[:40]!r} beside a size must be hole, slot, square, rectangle or hexagon"
        raise NoPhrase(text, "phrase")
    if long and not said:
        text = "two sizes: say slot or rectangle in a column what"
        raise NoPhrase(text, "long")
    return [kind, size, *(["x", long] if long else [])]


def understood(table: ListTable) -> str:
    """What the headings that have other names here are taken for, and which are not read."""
    read = [
        f"{heading!r} is {name}{f' in {unit}' if unit else ''}"
        for heading, name, unit in table.meanings
        if unit or heading.casefold() not in _PLAIN
    ]
    unread = [f"{heading!r} is not read" for heading in table.unread]
    return "; ".join(read + unread)
