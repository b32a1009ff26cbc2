"""The file of a drawing to what the DXF library makes of it, or to one clear error."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from contextlib import contextmanager
from io import StringIO
from typing import Any

from crib.errors import BadInput
from crib.files.common.decoded import decoded

MOST_BYTES = 20_000_000
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


@contextmanager
def sound(file: str) -> Iterator[None]:
    """Whatever the library trips over becomes one error that names the file.

    Raises:
        BadInput: when something inside does not hold together.
    """
    from ezdxf.lldxf.const import DXFError

    try:
        yield
    except (DXFError, *_BROKEN) as error:
        said = " ".join(str(error).split())[:120] or type(error).__name__
        message = f"{file} is not a sound DXF drawing: {said}"
        raise BadInput(message, way_out="write it again as DXF, in text form") from error


def refuse_large_drawing(size: int, file: str) -> None:
    """Refuse a file by its size, before any of it is read.

    Raises:
        BadInput: when it has more bytes than the drawing of a part ever has.
    """
    if size > MOST_BYTES:
        message = f"{file} has {size / 1e6:.1f} MB; a drawing has at most {MOST_BYTES / 1e6:g} MB"
        raise BadInput(message, way_out="write only the part's outline and holes to the DXF file")


def drawing_text(data: bytes | str, file: str) -> str:
    """The text of a drawing.

    Raises:
        BadInput: for a file that is too large, binary, empty, no drawing, or cut short.
    """
    refuse_large_drawing(len(data), file)
    text = data if isinstance(data, str) else decoded(data)
    if "\0" in text:
        message = f"{file} is not text: a binary drawing cannot be read"
        raise BadInput(message, way_out="write it as DXF in text form (ASCII)")
    if not text.strip():
        message = f"{file} is empty"
        raise BadInput(message, way_out="write the DXF file again")
    if "SECTION" not in text[:100_000]:
        message = f"{file} is not a DXF drawing: it has no section"
        raise BadInput(message, way_out="give the DXF file of a part")
    if text.rstrip().rsplit("\n", 1)[-1].strip() != "EOF":
        message = f"{file} is cut short: it does not end in EOF"
        raise BadInput(message, way_out="write the DXF file again")
    return text


def loaded(text: str, file: str) -> Any:
    """The drawing as the library holds it.

    Raises:
        BadInput: when it is not sound.
    """
    from ezdxf.document import logger
    from ezdxf.filemanagement import read

    # What the library has to say goes to the screen otherwise; the notes say what matters.
    logger.setLevel("CRITICAL")
    with sound(file):
        return read(StringIO(text, newline=None))


def handle_lines(text: str) -> dict[str, int]:
    """The line on which each handle stands."""
    lines = text.split("\n")
    pairs = zip(lines[::2], lines[1::2], strict=False)
    return {
        value.strip().upper(): 2 * number + 2
        for number, (code, value) in enumerate(pairs)
        if "5" in code and code.strip() == "5"
    }
