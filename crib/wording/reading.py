"""Why something of a part file is not used, or with what it is one."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from crib.wording.parts import Words


def _block(block: str) -> Words:
    return f"block {block} says nothing of openings", ""


def _column_unknown() -> Words:
    return "a column that is not known", ""


def _cope() -> Words:
    return "a cope, not a notch", ""


def _drawn_twice() -> Words:
    return "drawn over another", ""


def _edge() -> Words:
    return "not recognised at the edge", ""


_WHY_LEFT = {
    "dashed": "drawn with gaps",
    "gap": "not quite closed",
    "hidden": "on a layer that is off",
    "invisible": "invisible",
    "layer": "on a layer left out",
}


def _balloon() -> Words:
    return "a balloon, no hole", ""


def _broken() -> Words:
    return "broken", ""


def _entity(layer: str, why: str) -> Words:
    return _WHY_LEFT.get(why, "not read"), f", on layer {layer!r}"


def _frame() -> Words:
    return "the frame of the sheet", ""


def _title_block() -> Words:
    return "a field of the title block", ""


def _projection() -> Words:
    return "another view of the part", ""


def _words(words: str) -> Words:
    return "words, which count nothing", f": {words!r}"


def _file(code: str) -> Words:
    return "not read", f" ({code})"


def _header_long() -> Words:
    return "beyond the header's last line", ""


def _header_not_used(name: str) -> Words:
    return f"{name}: no number, and not used", ""


def _hidden() -> Words:
    return "hidden", ""


def _letters(letters: str) -> Words:
    return f"letter {letters!r} is not known", ""


def _merged_cell() -> Words:
    return "one with the merged cell above", ""


def _no_part_file() -> Words:
    return "no part file", ""


def _numbers(count: int) -> Words:
    return f"{count} number{'' if count == 1 else 's'} too many", ""


def _opening() -> Words:
    return "an opening that no punch makes", ""


def _outline() -> Words:
    return "an outline that is not recognised", ""


def _outside() -> Words:
    return "outside of a piece", ""


def _paper(count: int) -> Words:
    return "a sheet of paper, not the model", f", {count} entities"


def _punch_mark() -> Words:
    return "a punch mark, no hole", ""


def _same(line: int) -> Words:
    return "the same opening", f" as in line {line}"


def _same_part(file: str) -> Words:
    return "the same part", f" as in {file}"


def _sheet() -> Words:
    return "another sheet than the first", ""


def _stamp() -> Words:
    return "stamped text that is not read", ""


def _title() -> Words:
    return "above the heading", ""


def _view(view: str) -> Words:
    return f"view {view!r} is not known", ""


READ: Mapping[str, Callable[..., Words]] = {
    "read.balloon": _balloon,
    "read.block-not-read": _block,
    "read.column-unknown": _column_unknown,
    "read.cope": _cope,
    "read.drawn-twice": _drawn_twice,
    "read.edge-not-read": _edge,
    "read.entity-broken": _broken,
    "read.entity-not-read": _entity,
    "read.file-not-read": _file,
    "read.frame": _frame,
    "read.header-not-used": _header_not_used,
    "read.header-too-long": _header_long,
    "read.hidden": _hidden,
    "read.letter-unknown": _letters,
    "read.merged-cell": _merged_cell,
    "read.no-part-file": _no_part_file,
    "read.numbers-left": _numbers,
    "read.opening-unknown": _opening,
    "read.outline-not-read": _outline,
    "read.outside-of-a-piece": _outside,
    "read.paper-sheet": _paper,
    "read.punch-mark": _punch_mark,
    "read.same-opening": _same,
    "read.same-part": _same_part,
    "read.sheet-not-read": _sheet,
    "read.stamp-not-read": _stamp,
    "read.title": _title,
    "read.title-block": _title_block,
    "read.view": _projection,
    "read.view-unknown": _view,
    "read.words": _words,
}
