"""What a person may do: everything, until whoever keeps the crib says which sorts of acts alone."""

from __future__ import annotations

from crib.acts import act, saying
from crib.errors import NotAllowed
from crib.stock.book.people import WINDOW
from crib.stock.book.pins import page_acts_of
from crib.stock.engine.session import Session


def require_right(session: Session, person: str, sort: str) -> None:
    """Nothing, where somebody, or the window where nobody is named, may do a sort of act.

    Raises:
        NotAllowed: where the crib says that they may not.
    """
    name = person or WINDOW
    may = page_acts_of(session, name).split()
    if may and sort not in may:
        message = f"{name} may not do that here ({sort}); allowed: {', '.join(may)}"
        asking = "ask whoever keeps the crib, or let somebody do it who may: "
        raise NotAllowed(message, way_out=saying(asking, act("person", person=None)))
