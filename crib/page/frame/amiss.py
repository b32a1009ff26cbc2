"""What is amiss in a form that was sent: drawn again with all that was typed, the error beside."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from crib.acts import acts_in
from crib.errors import AskBack, BadInput

_SAY = "say."


@dataclass(frozen=True)
class Amiss:
    """An error and the field of the form that it is about; empty for the form as a whole."""

    error: BadInput
    field: str = ""


@contextmanager
def about(field: str) -> Iterator[None]:
    """Whatever is refused inside is about this field, unless the error names another."""
    try:
        yield
    except BadInput as error:
        error.about = error.about or field
        raise


def amiss(error: BadInput, fields: tuple[str, ...]) -> Amiss:
    """Which of a form's fields an error is about: what it asks to say, else what the view knows."""
    chosen = (error.choose,) if isinstance(error, AskBack) else ()
    said = [one.name.removeprefix(_SAY) for one in acts_in(error.way_out) if _SAY in one.name]
    named = [name for name in (*chosen, *said, error.about) if name and name in fields]
    return Amiss(error, named[0] if named else error.about)
