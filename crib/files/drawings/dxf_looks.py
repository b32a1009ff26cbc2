"""What a drawing shows and does not cut: dashed, invisible, or on a layer that is left out.

By custom only continuous lines are edges that one sees; hidden edges, centre lines, bolt circles
and bend lines have gaps. What is set aside is told with its sizes, and taken when somebody says so.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fnmatch import fnmatch
from typing import Any, Literal

Takeable = Literal["dashed", "invisible", "frame", "views", "one-view", "gaps", "once", "each"]
"""What a reader sets aside or asks about, and takes when it is named."""

_GAPPED = re.compile(
    r"hidden|dash|cent(er|re)|phantom|dot|divide|border|^acad_iso|^iso|^jis_"
    r"|strich|mitte|verdeckt|punkt",
    re.IGNORECASE,
)
"""Usual names of lines with gaps, for a file that names one and does not say how it looks."""


@dataclass(frozen=True, slots=True)
class Aside:
    """Why something is set aside: a code, words for it, and what to name to have it taken."""

    code: str
    text: str
    take: Takeable | None = None


@dataclass(frozen=True, slots=True)
class _Layer:
    hidden: bool
    linetype: str


@dataclass(slots=True)
class Looks:
    """How layers and linetypes of a drawing look, and what is taken in spite of it."""

    ignored: Sequence[str]
    taken: frozenset[Takeable]
    layers: dict[str, _Layer] = field(default_factory=dict)
    gapped: dict[str, bool] = field(default_factory=dict)
    _known: dict[tuple[str, str, str, bool], tuple[str, Aside | None]] = field(default_factory=dict)

    def seen(self, layer: str, own: str, block: str, invisible: bool) -> tuple[str, Aside | None]:
        """The linetype by which an entity is drawn, and why it is set aside, if it is.

        Args:
            layer: Its layer.
            own: Its own linetype.
            block: The linetype of the block it is in.
            invisible: Whether it is invisible.
        """
        look = (layer, own, block, invisible)
        known = self._known.get(look)
        # A drawing has few looks and very many entities of each.
        if known is None:
            linetype = self._linetype(own, layer, block)
            known = linetype, next(self._reasons(layer, linetype, invisible), None)
            self._known[look] = known
        return known

    def _linetype(self, own: str, layer: str, block: str) -> str:
        plain = own.casefold()
        if plain == "byblock":
            return block
        if plain not in ("", "bylayer"):
            return own
        known = self.layers.get(layer.casefold())
        return known.linetype if known else ""

    def _reasons(self, layer: str, linetype: str, invisible: bool) -> Iterator[Aside]:
        name = layer.casefold()
        if any(fnmatch(name, pattern.casefold()) for pattern in self.ignored):
            yield Aside("layer", "left out, as all of this layer")
        known = self.layers.get(name)
        if "invisible" not in self.taken:
            if known and known.hidden:
                yield Aside("hidden", "left out: its layer is off or frozen", "invisible")
            if invisible:
                yield Aside("invisible", "left out: it is invisible", "invisible")
        if "dashed" not in self.taken and self._has_gaps(linetype):
            yield Aside("dashed", f"left out: drawn with gaps ({linetype[:40]})", "dashed")

    def _has_gaps(self, linetype: str) -> bool:
        return self.gapped.get(linetype.casefold(), False) or bool(_GAPPED.search(linetype))


def looks_of(document: Any, ignored: Sequence[str], taken: frozenset[Takeable]) -> Looks:
    """The looks of a document's layers and linetypes."""
    layers = {
        str(layer.dxf.name).casefold(): _Layer(
            layer.is_off() or layer.is_frozen(), str(layer.dxf.get("linetype", ""))
        )
        for layer in document.layers
    }
    gapped = {
        str(linetype.dxf.name).casefold(): any(
            tag.code == 49 and tag.value < 0 for tag in linetype.pattern_tags.tags
        )
        for linetype in document.linetypes
    }
    return Looks(ignored, taken, layers, gapped)
