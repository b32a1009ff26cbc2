"""Which files are part files, by what stands in them or by their ending; and those of a folder."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from crib.acts import act, saying
from crib.desk.parts.parts_count import FileNotRead
from crib.errors import BadInput, BadRows, CribError, ReadingFault, RowFault
from crib.files.drawings.parts import PartsRead, ReadNote
from crib.stock.engine.disk import told

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


@dataclass(frozen=True, slots=True)
class NamedFiles:
    """The part files that are named, and what else lies in a folder that was."""

    paths: tuple[Path, ...]
    others: tuple[str, ...] = ()
    notes: tuple[ReadNote, ...] = ()


@dataclass(frozen=True, slots=True)
class FileRead:
    """A file that was read, by a name that tells it from the others."""

    path: Path
    name: str
    kind: str
    read: PartsRead


def files_of(named: Sequence[Path]) -> NamedFiles:
    """The part files that are named, each folder replaced by those in it; what is left out is said.

    Raises:
        BadInput: for a folder without a part file, and a file that is named twice.
    """
    found: list[Path] = []
    notes: list[ReadNote] = []
    left: list[str] = []
    for path in named:
        if path.is_dir():
            own, others = _in_folder(path)
            found += own
            left += others
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
    return NamedFiles(tuple(found), tuple(left), tuple(notes))


def read_all(
    paths: Sequence[Path], read: Callable[[Path, str], PartsRead]
) -> tuple[list[FileRead], tuple[FileNotRead, ...]]:
    """Read every file; of several, one that cannot be read stops none of the others.

    Raises:
        BadInput: for one file that is bad and was named alone.
        BadRows: when there are several files and all are bad.
        ReadingFault: for one file that was named alone, and was not accounted for.
    """
    if len(paths) == 1:
        kind = kind_of(paths[0])
        return [FileRead(paths[0], paths[0].name, kind, read(paths[0], kind))], ()
    found: list[FileRead] = []
    bad: list[FileNotRead] = []
    names = Counter(path.name for path in paths)
    for path in paths:
        name = path.name if names[path.name] == 1 else str(path)
        try:
            kind = kind_of(path)
            found.append(FileRead(path, name, kind, read(path, kind)))
        except (BadInput, ReadingFault) as error:
            bad.append(_not_read(name, error))
        except OSError as error:
            bad.append(_not_read(name, told(error)))
    if not found:
        raise _none_read(bad)
    return found, tuple(bad)


def _not_read(name: str, error: CribError) -> FileNotRead:
    faults = error.faults if isinstance(error, BadRows) else ()
    text = error.message if error.message.startswith(name) else f"{name}: {error.message}"
    return FileNotRead(name, error.code, text, error.way_out, faults)


def _none_read(bad: Sequence[FileNotRead]) -> BadRows:
    names = ", ".join(one.file for one in bad[:_MOST_NAMED])
    more = f" and {len(bad) - _MOST_NAMED} more" if len(bad) > _MOST_NAMED else ""
    message = f"none of {len(bad)} files can be read: {names}{more}"
    # What only the first lines of a long list of faults show must name every file.
    own = [one.faults or (_fault(one),) for one in bad]
    faults = [first for first, *_ in own] + [fault for _, *more in own for fault in more]
    return BadRows(message, faults, way_out="put these right; nothing was done")


def _fault(one: FileNotRead) -> RowFault:
    text = one.message.removeprefix(one.file).lstrip(": ")
    said = saying(text, " (", one.way_out, ")") if one.way_out else text
    return RowFault(one.file, 0, "", said)


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
