"""The file of a drawing to what the DXF library makes of it, or to one clear error.

A sound file is read strictly, which is fast. One that is not is read once more: records with a
number that is none are left out and named, and the library's own repairs are told.
"""

from __future__ import annotations

import re
import struct
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any

from crib.errors import BadInput
from crib.files.common.decoded import decoded
from crib.files.drawings.dxf_records import Pairs, Record, pairs_of, without_broken
from crib.files.drawings.parts import ReadNote

MOST_BYTES = 20_000_000
BINARY_HEAD = b"AutoCAD Binary DXF\r\n\x1a\x00"
"""The first bytes of a binary drawing, as the DXF reference gives them."""
_BROKEN = (
    ArithmeticError,
    AssertionError,
    AttributeError,
    LookupError,
    RecursionError,
    StopIteration,
    TypeError,
    ValueError,
    struct.error,
)
"""What reading raises for a file that is not sound, besides the library's own errors."""
_END = re.compile(r"^[ \t]*0[ \t]*\n[ \t]*EOF[ \t]*$", re.MULTILINE)
_BEFORE_EOF = 20
_MOST_REPAIRS_TOLD = 4


def broken_by() -> tuple[type[Exception], ...]:
    """What the library raises for what is not sound, its own errors too."""
    from ezdxf.lldxf.const import DXFError

    return (DXFError, *_BROKEN)


@dataclass(slots=True)
class LoadedDrawing:
    """A drawing as the library holds it, and what the file says of itself.

    ``lines`` has the line of each handle and ``written`` how many entities of each type the file
    lists, where it is text; ``broken`` are the records that cannot be read.
    """

    document: Any
    lines: dict[str, int] = field(default_factory=dict)
    written: Counter[str] = field(default_factory=Counter)
    broken: list[Record] = field(default_factory=list)
    notes: list[ReadNote] = field(default_factory=list)

    def lost(self) -> Counter[str]:
        """How many entities of each type the file lists and the library does not hold."""
        if not self.written:
            return Counter()
        known = Counter(record.kind for record in self.broken if not record.in_block)
        known.update(entity.dxftype() for entity in self._held())
        return self.written - known

    def _held(self) -> list[Any]:
        """What the library holds of the section; it may have lost the sheet that is shown."""
        from ezdxf.lldxf.const import DXFStructureError

        try:
            return list(self.document.entities)
        except DXFStructureError:
            return list(self.document.modelspace())


@contextmanager
def sound(file: str) -> Iterator[None]:
    """Whatever the library trips over becomes one error that names the file.

    Raises:
        BadInput: when something inside does not hold together.
    """
    try:
        yield
    except broken_by() as error:
        said = " ".join(str(error).split())[:120] or type(error).__name__
        message = f"{file} is not a sound DXF drawing: {said}"
        raise BadInput(message, way_out="write it again as DXF") from error


def refuse_large_drawing(size: int, file: str) -> None:
    """Refuse a file by its size, before any of it is read.

    Raises:
        BadInput: when it has more bytes than the drawing of a part ever has.
    """
    if size > MOST_BYTES:
        message = f"{file} has {size / 1e6:.1f} MB; a drawing has at most {MOST_BYTES / 1e6:g} MB"
        raise BadInput(message, way_out="write only the part's outline and holes to the DXF file")


def loaded(data: bytes | str, file: str) -> LoadedDrawing:
    """The drawing in a file, in text form or binary.

    Raises:
        BadInput: for a file that is too large, empty, no drawing, cut short or beyond repair.
    """
    from ezdxf.document import logger

    # What the library has to say goes to the screen otherwise; the notes say what matters.
    logger.setLevel("CRITICAL")
    refuse_large_drawing(len(data), file)
    if isinstance(data, bytes) and data.startswith(BINARY_HEAD):
        return _binary(data, file)
    text, notes = _drawing_text(data, file)
    pairs = pairs_of(text)
    found = _strict(pairs) or _lenient(text, data, file)
    found.notes += notes
    found.lines, found.written = pairs.seen()
    return found


def _binary(data: bytes, file: str) -> LoadedDrawing:
    from ezdxf.document import Drawing
    from ezdxf.lldxf.tagger import binary_tags_loader

    with sound(file):
        return LoadedDrawing(Drawing.load(binary_tags_loader(data)))


def _drawing_text(data: bytes | str, file: str) -> tuple[str, list[ReadNote]]:
    """The text of a drawing up to its end, and what is to be told of it."""
    text = data if isinstance(data, str) else decoded(data)
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if "\0" in text:
        message = f"{file} is neither text nor a binary DXF drawing"
        raise BadInput(message, way_out="write it again as DXF")
    if not text.strip():
        message = f"{file} is empty"
        raise BadInput(message, way_out="write the DXF file again")
    if "SECTION" not in text[:100_000]:
        message = f"{file} is not a DXF drawing: it has no section"
        raise BadInput(message, way_out="give the DXF file of a part")
    return _to_its_end(text, file)


def _to_its_end(text: str, file: str) -> tuple[str, list[ReadNote]]:
    """The text up to where the drawing ends, and what is wrong about its end."""
    end = _END.search(text, max(text.find("EOF") - _BEFORE_EOF, 0))
    whole = text.rstrip()
    if end is not None:
        beyond = whole[end.end() :].strip()
        count = beyond.count("\n") + 1
        note = ReadNote(0, f"{count} lines after the drawing's end are not read")
        return text[: end.end()] + "\n", [note] if beyond else []
    if whole.endswith("\nENDSEC"):
        note = ReadNote(0, "the file does not end in EOF: compare the count with the drawing")
        return f"{whole}\n  0\nEOF\n", [note]
    message = f"{file} is cut short: it does not end in EOF"
    raise BadInput(message, way_out="write the DXF file again")


def _strict(pairs: Pairs) -> LoadedDrawing | None:
    from ezdxf.document import Drawing

    try:
        return LoadedDrawing(Drawing.load(pairs.tags()))
    except broken_by():
        return None


def _lenient(text: str, data: bytes | str, file: str) -> LoadedDrawing:
    """The drawing with its broken records left out and whatever else the library can repair."""
    from ezdxf import recover

    # One letter for each byte, so that the library can find out the code page itself.
    raw, code_page = text, "utf-8"
    if isinstance(data, bytes) and not data.startswith((b"\xff\xfe", b"\xfe\xff")):
        code_page = "latin-1"
        raw = data.decode(code_page).replace("\r\n", "\n").replace("\r", "\n")
    kept, broken = without_broken(raw)
    with sound(file):
        document, auditor = recover.read(BytesIO(kept.encode(code_page)))
    found = LoadedDrawing(document, broken=broken)
    found.notes += _repairs(auditor)
    return found


def _repairs(auditor: Any) -> Iterator[ReadNote]:
    """What the library repaired and what it could not, by its own names for them."""
    from ezdxf.audit import AuditError

    for word, entries in (("repaired", auditor.fixes), ("not repaired", auditor.errors)):
        names = Counter(AuditError(entry.code).name.lower().replace("_", " ") for entry in entries)
        if names:
            most = names.most_common(_MOST_REPAIRS_TOLD)
            told = ", ".join(f"{count} x {name}" for name, count in most)
            more = ", ..." if len(names) > len(most) else ""
            text = f"the file is damaged, {word}: {told}{more}; compare the count with the drawing"
            yield ReadNote(0, text)
