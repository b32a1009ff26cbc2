"""What of a drawing is not in its parts, by type, layer and reason; and how that is told."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from crib.acts import Said, act, fact, saying
from crib.files.common.reading_ledger import ReadingLedger
from crib.files.drawings.dxf_chains import DrawnStroke, Source
from crib.files.drawings.dxf_looks import Aside
from crib.files.drawings.parts import ReadNote

_SHOWN_HANDLES = 5
_SHOWN_SIZES = 6


@dataclass(slots=True)
class _Left:
    sources: dict[int, Source] = field(default_factory=dict)
    sizes: Counter[str] = field(default_factory=Counter)


@dataclass(slots=True)
class Leftovers:
    """What is not read, by type, layer and reason."""

    found: dict[tuple[str, str, Aside], _Left] = field(default_factory=dict)

    def add(self, source: Source, why: Aside | str) -> None:
        """Keep one; one that has two reasons has the first."""
        self._of(source, why).sources.setdefault(source.item, source)

    def add_all(self, strokes: Iterable[DrawnStroke], why: Aside | str) -> None:
        """Keep what drew the strokes, each once."""
        for stroke in strokes:
            self.add(stroke.source, why)

    def sized(self, source: Source, why: Aside | str, size: str) -> None:
        """Keep one and the size of what it would be."""
        self.add(source, why)
        self._of(source, why).sizes[size] += 1

    def notes(self) -> Iterator[ReadNote]:
        """One note for each type, layer and reason."""
        for (kind, layer, why), left in self.found.items():
            sources = left.sources.values()
            named = list(dict.fromkeys(source.handle for source in sources if source.handle))
            handles = ", ".join(named[:_SHOWN_HANDLES])
            more = ", ..." if len(named) > _SHOWN_HANDLES else ""
            at = f" (handle {handles}{more})" if named else ""
            text = f"{len(sources)} x {kind[:40]} on layer {layer[:60]!r}{at}: {why.text}"
            sizes = _sizes(left.sizes)
            yield ReadNote(min(source.line for source in sources), f"{text}{sizes}", _way_out(why))

    def end(self, ledger: ReadingLedger) -> None:
        """End whatever has not been counted in the reading ledger."""
        for (_, layer, why), left in self.found.items():
            for item in left.sources:
                if not ledger.is_open(item):
                    continue
                if why.code == "twice":
                    ledger.merge(item, fact("read.drawn-twice"))
                else:
                    ledger.tell(item, fact("read.entity-not-read", layer=layer[:60], why=why.code))

    def _of(self, source: Source, why: Aside | str) -> _Left:
        reason = Aside("", why) if isinstance(why, str) else why
        return self.found.setdefault((source.kind, source.layer, reason), _Left())


def _sizes(sizes: Counter[str]) -> str:
    if not sizes:
        return ""
    told = ", ".join(f"{count} x {size}" for size, count in sizes.most_common(_SHOWN_SIZES))
    return f"; {told}{', ...' if len(sizes) > _SHOWN_SIZES else ''}"


def _way_out(why: Aside) -> Said:
    return saying("to take it say ", act("say.take", take=why.take)) if why.take else ""
