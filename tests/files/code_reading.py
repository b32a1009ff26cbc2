"""Reading a code without the library that made it: by ISO/IEC 18004, its smallest size only."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

SIDE = 21
"""Modules of version 1; its data come first and in one block whatever the error correction."""
LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
FORMAT_MASK = 0b101010000010010
MASKS: tuple[Callable[[int, int], int], ...] = (
    lambda row, column: (row + column) % 2,
    lambda row, column: row % 2,
    lambda row, column: column % 3,
    lambda row, column: (row + column) % 3,
    lambda row, column: (row // 2 + column // 3) % 2,
    lambda row, column: row * column % 2 + row * column % 3,
    lambda row, column: (row * column % 2 + row * column % 3) % 2,
    lambda row, column: ((row + column) % 2 + row * column % 3) % 2,
)

Matrix = Sequence[Sequence[int]]


def read_code(matrix: Matrix) -> str:
    """The text of a code of 21 x 21 modules without a scratch on it."""
    assert (len(matrix), len(matrix[0])) == (SIDE, SIDE)
    bits = "".join(str(bit) for bit in _bits(matrix))
    mode, rest = bits[:4], bits[4:]
    if mode == "0100":
        count = int(rest[:8], 2)
        parts = [int(rest[8 + 8 * at : 16 + 8 * at], 2) for at in range(count)]
        return bytes(parts).decode("utf-8")
    if mode == "0010":
        return _letters(int(rest[:9], 2), rest[9:])
    message = f"a mode that no tag needs: {mode}"
    raise AssertionError(message)


def _letters(count: int, bits: str) -> str:
    said = ""
    while len(said) < count - 1:
        first, second = divmod(int(bits[:11], 2), len(LETTERS))
        said += LETTERS[first] + LETTERS[second]
        bits = bits[11:]
    return said if len(said) == count else said + LETTERS[int(bits[:6], 2)]


def _bits(matrix: Matrix) -> Iterator[int]:
    mask = MASKS[_format(matrix) >> 10 & 7]
    upwards = True
    for right in (20, 18, 16, 14, 12, 10, 8, 5, 3, 1):
        for row in range(SIDE - 1, -1, -1) if upwards else range(SIDE):
            for column in (right, right - 1):
                if not _is_fixed(row, column):
                    yield matrix[row][column] ^ (mask(row, column) == 0)
        upwards = not upwards


def _is_fixed(row: int, column: int) -> bool:
    corner = (row < 9 and (column < 9 or column > 12)) or (row > 12 and column < 9)
    return corner or row == 6 or column == 6


def _format(matrix: Matrix) -> int:
    places = [(8, column) for column in (0, 1, 2, 3, 4, 5, 7, 8)]
    places += [(row, 8) for row in (7, 5, 4, 3, 2, 1, 0)]
    return int("".join(str(matrix[row][column]) for row, column in places), 2) ^ FORMAT_MASK
