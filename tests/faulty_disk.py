"""A disk that fails, under the program in a process of its own.

SQLite asks the system for every write through a table of functions, in which its Unix files let
others stand; the standard library tells of every file that Python opens, renames or takes away.
Both are counted here as one, and from a certain one on they fail, or the process is killed there.
It needs no compiler, no rights and no other program.
"""

from __future__ import annotations

import ctypes
import errno
import os
import signal
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, Literal

from crib.cli.main import main
from tests.cli.asking import Answer

How = Literal["killed", "full", "failing"]

Happens = Callable[[bool], None]
"""What is done before each write; it is told whether that takes a file away."""

_ERRORS = {"full": errno.ENOSPC, "failing": errno.EIO}
_WORD, _FILE, _PLACE = ctypes.c_ssize_t, ctypes.c_int, ctypes.c_int64
_WRITING = {
    "write": (_WORD, _FILE, ctypes.c_void_p, ctypes.c_size_t),
    "pwrite": (_WORD, _FILE, ctypes.c_void_p, ctypes.c_size_t, _PLACE),
    "pwrite64": (_WORD, _FILE, ctypes.c_void_p, ctypes.c_size_t, _PLACE),
    "ftruncate": (_FILE, _FILE, _PLACE),
    "fallocate": (_FILE, _FILE, _PLACE, _PLACE),
    "unlink": (_FILE, ctypes.c_char_p),
}
_kept: list[object] = []
"""What SQLite holds only by its address must not be let go here."""


class _Files(ctypes.Structure):
    """The beginning of SQLite's ``sqlite3_vfs``, which is the same in every version since 3.7."""

    _fields_ = (
        *((name, ctypes.c_int) for name in ("version", "size", "longest")),
        *((name, ctypes.c_void_p) for name in ("next", "name", "data")),
        *((f"duty_{number}", ctypes.c_void_p) for number in range(13)),
        ("set_call", ctypes.CFUNCTYPE(ctypes.c_int, *[ctypes.c_void_p] * 3)),
        ("get_call", ctypes.CFUNCTYPE(ctypes.c_void_p, *[ctypes.c_void_p] * 2)),
    )


def can_be_made() -> bool:
    """Whether this Python's SQLite can be given such a disk."""
    return os.name == "posix" and hasattr(_sqlite(), "sqlite3_vfs_find")


def count_writes(to: Path) -> None:
    """Count every write of this process, into a file that holds the number."""
    counted = os.open(to, os.O_WRONLY | os.O_CREAT)
    count = 0

    def one_more(_removes: bool) -> None:
        nonlocal count
        count += 1
        os.pwrite(counted, f"{count}".encode(), 0)

    _before_each_write(one_more, to.parent)


def fail_from(number: int, how: How, folder: Path) -> None:
    """Let every write from this one on fail, or kill the process there."""
    count = 0

    def one_more(removes: bool) -> None:
        nonlocal count
        count += 1
        if count < number:
            return
        if how == "killed":
            os.kill(os.getpid(), signal.SIGKILL)
        if removes:  # what is there can be taken away from a full disk too
            return
        raise OSError(_ERRORS[how], os.strerror(_ERRORS[how]))

    _before_each_write(one_more, folder)


def without_rights() -> None:
    """Keep to the rights that files say, as the superuser need not."""
    if os.geteuid() == 0:
        head = (ctypes.c_uint32 * 2)(0x20080522, 0)
        ctypes.CDLL(None).capset(head, (ctypes.c_uint32 * 6)())


def ask_on(first: Callable[[], object] | None, words: Sequence[str], folder: Path) -> Answer:
    """What the program says in a process of its own, forked from this one, on such a disk."""
    out, err = folder / "said", folder / "said.wrong"
    child = os.fork()
    if child == 0:
        _be_the_program(first, words, out, err)
    status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    return Answer(status, out.read_text("utf-8"), err.read_text("utf-8"))


def _be_the_program(
    first: Callable[[], object] | None, words: Sequence[str], out: Path, err: Path
) -> None:
    """Be the program and never come back."""
    status = 70
    try:
        for stream, to in ((1, out), (2, err)):
            os.dup2(os.open(to, os.O_WRONLY | os.O_CREAT | os.O_TRUNC), stream)
        sys.stdout = open(1, "w", encoding="utf-8", closefd=False)
        sys.stderr = open(2, "w", encoding="utf-8", closefd=False)
        if first is not None:
            first()
        status = main(words)
        sys.stdout.flush()
        sys.stderr.flush()
    finally:
        os._exit(status)


def _before_each_write(happens: Happens, folder: Path) -> None:
    sys.dont_write_bytecode = True
    _before_python_writes(happens, str(folder))
    _before_sqlite_writes(happens)


def _before_python_writes(happens: Happens, folder: str) -> None:
    def heard(event: str, said: tuple[Any, ...]) -> None:
        writes = event in ("os.rename", "os.remove", "os.truncate", "os.mkdir")
        if event == "open":
            writes = bool((said[2] or 0) & (os.O_WRONLY | os.O_RDWR | os.O_CREAT))
        if writes and isinstance(said[0], str | Path) and str(said[0]).startswith(folder):
            happens(event == "os.remove")

    sys.addaudithook(heard)


def _before_sqlite_writes(happens: Happens) -> None:
    library = _sqlite()
    library.sqlite3_vfs_find.restype = ctypes.POINTER(_Files)
    files = library.sqlite3_vfs_find(None)
    for name, (gives, *takes) in _WRITING.items():
        called = ctypes.create_string_buffer(name.encode())
        address = files.contents.get_call(files, called)
        if not address:
            continue
        made = ctypes.CFUNCTYPE(gives, *takes, use_errno=True)
        own = made(_failing_first(happens, made(address), removes=name == "unlink"))
        _kept.append((called, own))
        files.contents.set_call(files, called, own)


def _failing_first(
    happens: Happens, then: Callable[..., int], *, removes: bool
) -> Callable[..., int]:
    def call(*values: Any) -> int:
        try:
            happens(removes)
        except OSError as error:
            ctypes.set_errno(error.errno or errno.EIO)
            return -1
        return then(*values)

    return call


def _sqlite() -> ctypes.CDLL:
    import _sqlite3

    return ctypes.CDLL(_sqlite3.__file__)
