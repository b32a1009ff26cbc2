"""What keeps a file from being read or written, as the operating system tells it.

A database says only that it could not do something; a full disk, a missing right and a failing disk
are told apart here, so that a crib that is whole is never called damaged.
"""

from __future__ import annotations

import errno
import os
from pathlib import Path

from crib.errors import CribError, DiskFault, DiskFull, NoRight

COMPANIONS = ("-wal", "-shm")
"""What stands beside a crib's file while it is in use."""
_LEAST_FREE_BYTES = 65_536
_UNCHANGED = "nothing of this was written"


_SORTS: dict[int, type[CribError]] = {
    errno.ENOSPC: DiskFull,
    errno.EDQUOT: DiskFull,
    errno.EFBIG: DiskFull,
    errno.EIO: DiskFault,
    errno.EROFS: NoRight,
    errno.EACCES: NoRight,
    errno.EPERM: NoRight,
}


def told(error: OSError) -> CribError:
    """What the system says of any file, as an error of its sort."""
    said = error.strerror or str(error)
    place = f": {error.filename}" if error.filename else ""
    sort = _SORTS.get(error.errno or 0, CribError)
    message = f"the disk is full ({said}){place}" if sort is DiskFull else f"{said}{place}"
    return sort(message, way_out="check the path, the rights and the disk")


def full(path: Path) -> DiskFull:
    """There is no room left where a file lies."""
    message = f"the disk is full: no room left in {_folder(path)}"
    return DiskFull(message, way_out=f"make room on the disk and do it again; {_UNCHANGED}")


def failing(path: Path, said: str) -> DiskFault:
    """The disk gave an error of its own."""
    message = f"{path}: the disk failed ({said})"
    way_out = f"look after the disk or its connection, then try again; {_UNCHANGED}"
    return DiskFault(message, way_out=way_out)


def not_writable(path: Path) -> NoRight | None:
    """The right that is lacking to write a file and what must stand beside it, if one is."""
    beside = (path.with_name(path.name + end) for end in COMPANIONS)
    for one in (path, *beside):
        if one.exists() and not os.access(one, os.W_OK):
            return _forbidden(f"{one} may only be read, not written")
    if not os.access(_folder(path), os.W_OK):
        return _forbidden(f"the folder {_folder(path)} may only be read, not written")
    return None


def looked_at(path: Path) -> NoRight:
    """A file was opened to be looked at, so nothing can be written to it."""
    return _forbidden(f"{path} is only looked at")


def obstacle(path: Path, said: str, *, to_write: bool) -> DiskFault | None:
    """Why a file could not be used, where the database only says that it could not.

    It is no fault of the disk when there is no such file, nor a folder to make it in.

    Args:
        path: The file.
        said: The database's own words.
        to_write: Whether it said that writing was what it could not.
    """
    if not _folder(path).is_dir():
        return None
    if path.exists() and not os.access(path, os.R_OK):
        return _forbidden(f"{path} may not be read")
    lacking = not_writable(path)
    if lacking is not None:
        return lacking
    if _is_full(_folder(path)):
        return full(path)
    if to_write:
        return _forbidden(f"{path} cannot be written ({said})") if path.exists() else None
    return failing(path, said)


def _forbidden(message: str) -> NoRight:
    way_out = f"set the rights of the file and its folder, or take another; {_UNCHANGED}"
    return NoRight(message, way_out=way_out)


def _is_full(folder: Path) -> bool:
    from shutil import disk_usage

    try:
        room = disk_usage(folder)
    except OSError:
        return False
    return room.total > 0 and room.free < _LEAST_FREE_BYTES


def _folder(path: Path) -> Path:
    return path.absolute().parent
