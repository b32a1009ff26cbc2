"""What is amiss in a form that was sent: drawn again with all that was typed, the error beside."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field

from crib.acts import Said, acts_in
from crib.errors import AskBack, BadInput, BadRows

_SAY = "say."


@dataclass(frozen=True)
class Amiss:
    """An error, and what is to be said beside which fields; none where it is about the whole."""

    error: BadInput
    beside: Mapping[str, Said] = field(default_factory=dict)


@contextmanager
def about(*fields: str) -> Iterator[None]:
    """Whatever is refused inside is about this field, unless the error names another.

    With several fields the faults of lines are each about the field that is their column.
    """
    try:
        yield
    except BadInput as error:
        error.about = error.about or fields
        raise


def amiss(error: BadInput, fields: Sequence[str]) -> Amiss:
    """Which of a form's fields an error is about: what it asks to say, else what the view knows."""
    if isinstance(error, BadRows):
        lines = [one for one in error.faults if one.column in error.about]
        return Amiss(error, {one.column: one.text for one in lines})
    chosen = (error.choose,) if isinstance(error, AskBack) else ()
    said = [one.name.removeprefix(_SAY) for one in acts_in(error.way_out) if _SAY in one.name]
    named = [name for name in (*chosen, *said) if name and name in fields]
    return Amiss(error, dict.fromkeys([*named, *error.about][:1], error.message))
