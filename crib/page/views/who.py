"""Who acts: a tile for each badge name, chosen before anything is written."""

from __future__ import annotations

from crib.page.frame.reply import FormField, GoTo, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.stock.book.people import person_called, person_names


def tiles(asked: PageRequest) -> Reply:
    """A tile for each name."""
    return Shown("who", {"names": person_names(asked.session), "then": own_place(asked["then"])})


def chosen(asked: PageRequest) -> Reply:
    """Somebody touched their name; `crib/page/guard/people.py` remembers it for some minutes."""
    person = person_called(asked.session, asked["person"]) if asked["person"] else ""
    return GoTo(own_place(asked["then"]), person=person)


def own_place(address: str) -> str:
    """An address of this page itself; anything else becomes the front page."""
    is_own = address.startswith("/") and not address.startswith(("//", "/\\"))
    return address if is_own else "/"


VIEWS = (
    View("/who", tiles, takes=(FormField("then"),)),
    View("/who", chosen, "POST", takes=(FormField("person"), FormField("then"))),
)
