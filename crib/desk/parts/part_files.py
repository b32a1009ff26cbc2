"""Which files are part files, by what stands in them or by their ending; and those of a folder."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path

from crib.acts import act, saying
from crib.errors import BadInput, BadRows, RowFault
from crib.files.drawings.parts import PartsRead, ReadNote

_HEAD_BYTES = 4096
_MOST_NAMED = 5
_ENDINGS = {
    ".dxf": "dxf",
    ".nc": "nc",
    ".nc1": "nc",
    ".csv": "list",
    ".tsv": "list",
    ".xlsx": "list",
    ".xlsm": "list",
}
_KNOWN = "give .dxf, .nc, .nc1, .csv or .xlsx"
_NC_HEAD = re.compile(rb"\s*(?:\*\*[^\n]*\n\s*)*ST\s*\n")
_DXF_HEAD = re.compile(rb"\s*(?:999\s*\n[^\n]*\n\s*)*0\s*\n\s*SECTION\s*\n")


def files_of(named: Sequence[Path]) -> tuple[tuple[Path, ...], tuple[ReadNote, ...]]:
    """The part files that are named, each folder replaced by those in it; what is left out is said.

    Raises:
        BadInput: for a folder without a part file, and a file that is named twice.
    """
    found: list[Path] = []
    notes: list[ReadNote] = []
    for path in named:
        if path.is_dir():
            own, others = _in_folder(path)
            found += own
            if others:
                notes.append(ReadNote(0, _left_out(path, others)))
        else:
            found.append(path)
    seen: set[Path] = set()
    for path in found:
        place = path.resolve()
        if place in seen:
            message = f"{path.name} is named twice: its parts would be counted twice"
            quantity = saying(act("say.quantity"), " says how many pieces")
            raise BadInput(message, way_out=saying("name each file once; ", quantity))
        seen.add(place)
    return tuple(found), tuple(notes)


def read_all(paths: Sequence[Path], read: Callable[[Path], PartsRead]) -> list[PartsRead]:
    """Read every file, or say of all that cannot be read what is wrong with them.

    Raises:
        BadInput: for one file that is bad and was named alone.
        BadRows: when there are several files and some are bad.
    """
    if len(paths) == 1:
        return [read(paths[0])]
    found: list[PartsRead] = []
    bad: list[tuple[Path, list[RowFault]]] = []
    for path in paths:
        try:
            found.append(read(path))
        except BadInput as error:
            bad.append((path, _faults(path, error)))
    if bad:
        names = ", ".join(path.name for path, _ in bad[:_MOST_NAMED])
        more = f" and {len(bad) - _MOST_NAMED} more" if len(bad) > _MOST_NAMED else ""
        message = f"{len(bad)} of {len(paths)} files cannot be read: {names}{more}"
        # What only the first lines of a long list of faults show must name every file.
        faults = [own[0] for _, own in bad] + [one for _, own in bad for one in own[1:]]
        raise BadRows(message, faults, way_out="nothing was done; put these right, or leave out")
    return found


def _faults(path: Path, error: BadInput) -> list[RowFault]:
    if isinstance(error, BadRows) and error.faults:
        return list(error.faults)
    text = error.message.removeprefix(path.name).lstrip(": ")
    said = saying(text, " (", error.way_out, ")") if error.way_out else text
    return [RowFault(path.name, 0, "", said)]


def _in_folder(folder: Path) -> tuple[list[Path], list[str]]:
    """Its part files in the order of their names, and what else is in it."""
    own: list[Path] = []
    others: list[str] = []
    for path in sorted(folder.iterdir(), key=lambda one: (one.name.casefold(), one.name)):
        # What a program keeps beside an open file begins like this.
        if path.name.startswith((".", "~$")):
            continue
        if path.is_file() and _known_kind(path) is not None:
            own.append(path)
        else:
            others.append(f"{path.name}/" if path.is_dir() else path.name)
    if not own:
        message = f"there is no part file in the folder {folder}"
        raise BadInput(message, way_out=_KNOWN)
    return own, others


def _left_out(folder: Path, others: Sequence[str]) -> str:
    names = ", ".join(others[:_MOST_NAMED]) + (" ..." if len(others) > _MOST_NAMED else "")
    return f"not read in {folder.name or folder}, as they are no part files: {names}"


def kind_of(path: Path) -> str:
    """Which reader: by what stands at the head of the file, else by its ending."""
    if not path.is_file():
        message = f"there is no file at {path}"
        raise BadInput(message, way_out=_KNOWN)
    kind = _known_kind(path)
    if kind is None:
        message = f"{path.name} is not a part file that can be read"
        raise BadInput(message, way_out=_KNOWN)
    return kind


def _known_kind(path: Path) -> str | None:
    with path.open("rb") as file:
        head = file.read(_HEAD_BYTES).removeprefix(b"\xef\xbb\xbf").replace(b"\r", b"\n")
    if _DXF_HEAD.match(head):
        return "dxf"
    if _NC_HEAD.match(head):
        return "nc"
    return _ENDINGS.get(path.suffix.lower())
