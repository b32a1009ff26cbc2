"""A file is written whole or not at all."""

from __future__ import annotations

import csv
import os
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from crib.errors import Refused
from crib.unseen import made_seen


@contextmanager
def whole_file(path: Path) -> Iterator[Path]:
    """A file beside the wanted one to write to; it takes that one's place if nothing is raised.

    It is on the disk before it gets its name, and its name is before this returns: a power cut
    leaves the whole file under its name, or none.
    """
    partial = path.with_name(f"{path.name}.{os.getpid()}.partial")
    try:
        yield partial
        put_in_place(partial, path)
    finally:
        partial.unlink(missing_ok=True)


def put_in_place(written: Path, path: Path) -> None:
    """Give a file that is written its name, once it is on the disk."""
    _flush(written, os.O_RDWR)
    os.replace(written, path)
    # Other systems than these cannot flush a folder.
    if os.name == "posix":
        _flush(path.parent, os.O_RDONLY)


def _flush(path: Path, how: int) -> None:
    opened = os.open(path, how)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


def write_whole(data: bytes, where: Path | BinaryIO) -> None:
    """Write a whole file or nothing of it; an open file just takes the bytes."""
    if not isinstance(where, Path):
        where.write(data)
        return
    with whole_file(where) as partial:
        partial.write_bytes(data)


def write_csv(path: Path, heading: Sequence[str], rows: Iterable[Iterable[str | int]]) -> int:
    """Write a CSV that spreadsheets read, where nothing is yet; returns how many rows it has.

    Raises:
        Refused: when there is something already.
    """
    require_free(path)
    count = 0
    with whole_file(path) as partial:
        # The mark at the start tells spreadsheets that the file is UTF-8.
        with partial.open("x", encoding="utf-8-sig", newline="") as file:
            writer = csv.writer(file)
            writer.writerow(heading)
            for cells in rows:
                writer.writerow([made_seen(c) if isinstance(c, str) else c for c in cells])
                count += 1
        require_free(path)
    return count


def require_free(path: Path) -> None:
    """Refuse a path where something is already.

    Raises:
        Refused: when there is.
    """
    if path.exists():
        message = f"{path} is there already"
        raise Refused(message, way_out="choose another place; nothing was written")
