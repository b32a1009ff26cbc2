"""Where a PDF may be written, known before anything is done for it."""

from __future__ import annotations

from pathlib import Path

from crib.acts import Act, Confirmed, act, saying
from crib.errors import AskBack, BadValue, Missing

ENDING = ".pdf"


def check_pdf_place(file: Path, confirmed: Confirmed, example: Act) -> None:
    """Refuse a file of another ending or in no folder; ask before one is written over.

    Raises:
        BadValue: for another ending.
        Missing: when there is no such folder.
        AskBack: when the file is there already.
    """
    if file.suffix.lower() != ENDING:
        message = f"the file must end in {ENDING}, found {file.name!r}"
        raise BadValue(message, way_out=saying("such as ", example))
    if not file.parent.is_dir():
        message = f"there is no folder {file.parent}"
        raise Missing(message, way_out="make it first, or choose another place")
    if file.exists() and "overwrite" not in confirmed:
        message = f"{file} is there already"
        again = act("confirm.overwrite")
        way_out = saying("choose another name, or say ", again, " to write over it")
        raise AskBack(message, confirm="overwrite", way_out=way_out)
