"""Who acts: a tile for each badge name, chosen before anything is written; then its PIN, if any."""

from __future__ import annotations

from urllib.parse import urlencode

from crib.desk.book.pins import has_pin, try_pin
from crib.page.frame.reply import FormField, GoTo, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.stock.book.people import person_called, person_names


def tiles(asked: PageRequest) -> Reply:
    """A tile for each name."""
    return Shown("who", {"names": person_names(asked.session), "then": own_place(asked["then"])})


def chosen(asked: PageRequest) -> Reply:
    """Somebody touched their name; `crib/page/guard/people.py` remembers it for some minutes."""
    then = own_place(asked["then"])
    person = person_called(asked.session, asked["person"]) if asked["person"] else ""
    if person and has_pin(asked.session, person):
        return GoTo(f"/who/pin?{urlencode({'person': person, 'then': then})}")
    return GoTo(then, person=person)


def pin(asked: PageRequest, wrong: str = "", status: int = 200, wait_s: int = 0) -> Reply:
    """The PIN of the name that was touched."""
    person = person_called(asked.session, asked["person"])
    values = {"person": person, "then": own_place(asked["then"])}
    return Shown("who_pin", {**values, "wrong": wrong, "wait_s": wait_s}, status=status)


def proven(asked: PageRequest) -> Reply:
    """Whether the PIN is right; each wrong one makes the next wait longer."""
    person = person_called(asked.session, asked["person"])
    tried = try_pin(asked.session, person, asked["pin"])
    if tried.said == "right":
        return GoTo(own_place(asked["then"]), person=person)
    status = 429 if tried.said == "wait" else 422
    return pin(asked, tried.said, status, round(tried.wait_s))


def own_place(address: str) -> str:
    """An address of this page itself; anything else becomes the front page."""
    is_own = address.startswith("/") and not address.startswith(("//", "/\\"))
    return address if is_own and address.isprintable() else "/"


_THEN = FormField("then")
_PERSON = FormField("person", needed=True)
VIEWS = (
    View("/who", tiles, takes=(_THEN,)),
    View("/who", chosen, "POST", takes=(FormField("person"), _THEN)),
    View("/who/pin", pin, takes=(_PERSON, _THEN)),
    View(
        "/who/pin",
        proven,
        "POST",
        takes=(_PERSON, FormField("pin", needed=True), _THEN),
        guards=True,
    ),
)
