"""The annealing of ``trade/changes/order_search.py``, compiled by numba where that is installed.

It is the same code: copies of its functions are given to numba. There a mask is a pair of 63 bits,
for which the signs that the code writes are explained here.

To compile takes some seconds, once: what comes of it is kept in the user's cache, in a folder for
this very code, where a mark says that it is whole.
"""

from __future__ import annotations

import operator
import sys
from collections.abc import Callable, Sequence
from functools import cache
from hashlib import sha256
from pathlib import Path
from types import FunctionType, SimpleNamespace
from typing import Any

from crib.trade.changes import order_moves, order_search
from crib.trade.changes.cooling import Annealed

_BITS, _WORDS = 63, 2
_WORD = (1 << _BITS) - 1


def fastest_annealed(bits: int) -> Annealed:
    """The annealing for masks of so many bits: compiled if it can be, else as it is written."""
    if bits > _BITS * _WORDS:
        return order_search.annealed
    return _compiled() or order_search.annealed


def annealed_when_ready(bits: int) -> Annealed:
    """The annealing as it is written, until somebody has compiled it: from then on that."""
    if bits > _BITS * _WORDS:
        return order_search.annealed
    mark = ready_mark()
    used: Annealed = order_search.annealed

    def annealed(*told: Any) -> tuple[list[int], list[int], int, int]:
        nonlocal used
        if used is order_search.annealed and mark.exists():
            used = fastest_annealed(bits)
        return used(*told)

    return annealed


@cache
def ready_mark() -> Path:
    """The file that says that compiled code is kept for this code and this Python.

    Another code has another folder: numba itself looks for changes in one file alone, not in those
    that it calls.
    """
    from platformdirs import user_cache_path

    digest = sha256()
    for file in (order_moves.__file__, order_search.__file__, __file__):
        digest.update(Path(file).read_bytes())
    folder = user_cache_path("crib") / "compiled" / digest.hexdigest()[:16]
    return folder / f"ready-{sys.implementation.cache_tag}"


@cache
def _compiled() -> Annealed | None:
    try:
        import numba
    except ImportError:
        # Not installed, or not for this Python: the plain code does the same.
        return None
    mark = ready_mark()
    config: Any = numba.config
    config.CACHE_DIR = str(mark.parent)
    _explain_pairs()
    inner = _copies(numba.njit(cache=True)).annealed
    is_told = False

    def annealed(
        row: list[int],
        slots: int,
        first: int,
        none: int,
        chance: int,
        heat: float,
        steps: int,
        enough: int,
    ) -> tuple[list[int], list[int], int, int]:
        nonlocal is_told
        pairs = numba.typed.List([_pair(job) for job in row])
        limits = chance, heat, steps, enough
        end, best, most, chance = inner(pairs, slots, first, _pair(none), *limits)
        if not is_told:
            is_told = True
            _tell(mark)
        return _masks(end), _masks(best), most, chance

    return annealed


def _tell(mark: Path) -> None:
    """Set the mark; where nothing can be kept there is none, and everybody compiles."""
    try:
        mark.touch()
    except OSError:
        return


def _copies(compiled: Callable[[FunctionType], Any]) -> SimpleNamespace:
    """The functions of the module, each compiled, and calling one another's compiled copies."""
    names = {**vars(order_moves), **vars(order_search)}
    own = [one for one in names.values() if isinstance(one, FunctionType)]
    for one in own:
        names[one.__name__] = compiled(FunctionType(one.__code__, names, one.__name__))
    return SimpleNamespace(**{one.__name__: names[one.__name__] for one in own})


def _pair(mask: int) -> tuple[int, int]:
    return mask & _WORD, mask >> _BITS


def _masks(pairs: Sequence[tuple[int, int]]) -> list[int]:
    return [low | high << _BITS for low, high in pairs]


def _explain_pairs() -> None:
    """What numba has to know of a mask: and, or, either, not, and how many bits."""
    from numba import types
    from numba.extending import intrinsic, overload, overload_method

    def is_pair(*masks: Any) -> bool:
        return all(isinstance(mask, types.UniTuple) and mask.count == _WORDS for mask in masks)

    @intrinsic
    def ones(_context: Any, word: Any) -> Any:
        def lowered(_context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
            return builder.ctpop(arguments[0])

        return types.int64(types.int64), lowered

    def pairwise(sign: Callable[[Any, Any], Any]) -> Any:
        both = lambda a, b: (sign(a[0], b[0]), sign(a[1], b[1]))  # noqa: E731
        return lambda a, b: both if is_pair(a, b) else None

    for sign in (operator.and_, operator.or_, operator.xor):
        overload(sign)(pairwise(sign))
    overload(operator.invert)(lambda a: (lambda a: (~a[0], ~a[1])) if is_pair(a) else None)
    count: Any = ones
    overload_method(types.UniTuple, "bit_count")(
        lambda a: (lambda a: count(a[0]) + count(a[1])) if is_pair(a) else None
    )
