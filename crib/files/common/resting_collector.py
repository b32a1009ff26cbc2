"""The search for circular garbage, kept away from work whose objects all live until its end."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_resting() -> Iterator[None]:
    """Without that search: it would go over everything that is made, again and again.

    Of a large drawing or a long list it takes a quarter of the time, and finds nothing.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
