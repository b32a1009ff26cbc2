"""A result or an error as JSON can carry it; both doors answer programs with the same object."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from crib.acts import Act, Fact, Saying, Spelling, acts_in
from crib.errors import AskBack, BadPhrase, BadRows, CribError
from crib.wording.sayings import worded


@dataclass(frozen=True)
class Plain:
    """Makes values plain; a door spells an act ``marked`` in a sentence, ``spelled`` alone."""

    marked: Spelling
    spelled: Spelling

    def value(self, value: Any) -> Any:
        """A result: it may say ``as_json`` itself, a dataclass is a dict.

        What was said is worded, an act is what is done for it at the door.
        """
        if isinstance(value, Saying | Fact):
            return worded(value, self.marked)
        if isinstance(value, Act):
            return self.spelled(value)
        if hasattr(value, "as_json"):
            return self.value(value.as_json())
        if is_dataclass(value):
            return {field.name: self.value(getattr(value, field.name)) for field in fields(value)}
        if isinstance(value, Mapping):
            return {str(key): self.value(item) for key, item in value.items()}
        if isinstance(value, list | tuple | set | frozenset):
            return [self.value(item) for item in value]
        if value is None or isinstance(value, str | int | float | bool):
            return value
        return str(value)

    def error(self, error: CribError) -> dict[str, Any]:
        """An error: its code, what is wrong, what helps, and what it asks back."""
        made: dict[str, Any] = {
            "code": error.code,
            "message": error.message,
            "way_out": worded(error.way_out, self.marked),
            "acts": [{"name": one.name, **dict(one.figures)} for one in acts_in(error.way_out)],
        }
        if isinstance(error, AskBack):
            made |= {"confirm": error.confirm, "choose": error.choose}
            made |= {"readings": list(error.readings), "told": list(error.told)}
        if isinstance(error, BadPhrase):
            made |= {"text": error.text, "start": error.start, "end": error.end}
        if isinstance(error, BadRows):
            made["faults"] = [self.value(fault) for fault in error.faults]
        return made
