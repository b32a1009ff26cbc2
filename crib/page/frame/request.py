"""What a view is asked with."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any, Literal
from urllib.parse import urlencode

from crib.acts import Confirmed
from crib.page.frame.amiss import Amiss
from crib.page.frame.as_it_is import AsItIs
from crib.page.texts import Texts
from crib.stock.engine.session import Session

May = Literal["all", "look"]
"""What a device may do: everything, or only look."""


@dataclass(frozen=True)
class Visitor:
    """Who is at the other end: a paired device, or this machine's own screen.

    ``person`` is the badge name that was touched on it last, empty when forgotten; ``voucher`` is
    what a form carries so that its post is still this person's after that.
    """

    device: str
    name: str
    may: May = "all"
    person: str = ""
    voucher: str = ""


@dataclass(frozen=True)
class PageRequest:
    """One question or one act: the open crib, the fields of the address and the form, who asks."""

    session: Session
    path: str
    fields: Mapping[str, str]
    every: Mapping[str, tuple[str, ...]]
    texts: Texts
    visitor: Visitor
    now: datetime
    pressed_on: date
    """The day on which the button was pressed; today for a question."""
    confirmed: Confirmed = frozenset()
    key: str = ""
    files: Mapping[str, bytes] = field(default_factory=dict)
    in_path: frozenset[str] = frozenset()
    """The fields that stand in the address itself, which a form cannot say otherwise."""
    origin: str = ""
    """Where the page is reached, as ``http://crib.local:8321``."""
    authority: Path | None = None
    """The certificate of the authority behind the page's own, where it is served over TLS."""
    amiss: Amiss | None = None
    """What was wrong with the form that is drawn again."""
    odd_clock: str = ""
    """What a device's clock said at the press, where that cannot be; the day is today then."""
    is_posted: bool = False
    """Whether its fields came in a form, so that none of them may stand in an address."""
    as_it_is: Callable[[Session], AsItIs] = AsItIs
    """What gives the crib as it is while nobody writes in it."""
    ready: Any = None
    """What an act was given by its view's ``before``, or the error that was met there."""

    def __getitem__(self, name: str) -> str:
        """A field's text without blanks around it; empty where it was not given."""
        return self.fields.get(name, "").strip()

    @property
    def place(self) -> str:
        """The address of this page with its question, to come back to; of a form only the path."""
        asked = [
            (name, value)
            for name, values in self.every.items()
            if name not in self.in_path and name != "done"
            for value in values
        ]
        return f"{self.path}?{urlencode(asked)}" if asked and not self.is_posted else self.path

    @property
    def by(self) -> str:
        """The badge name of who acts; empty means the window."""
        return self.visitor.person
