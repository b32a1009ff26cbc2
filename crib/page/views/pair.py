"""Letting a device in: the code that stands on the screen of the crib's own machine."""

from __future__ import annotations

from crib.desk.book.pairing import take_code
from crib.page.frame.reply import FormField, GoTo, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.page.guard.pairing import cookie_for
from crib.page.views.who import own_place


def form(asked: PageRequest) -> Reply:
    """Where the code is typed, or stands already when it came with the address."""
    return _form(asked)


def paired(asked: PageRequest) -> Reply:
    """The browser gets its cookie for the code; every other code is told the same."""
    let_in = take_code(asked.session, asked["code"])
    if let_in is None:
        return _form(asked, is_wrong=True)
    scheme = asked.origin.partition(":")[0]
    cookie = cookie_for(let_in.credential, scheme)
    return GoTo(own_place(asked["then"]), headers={"set-cookie": cookie})


def _form(asked: PageRequest, *, is_wrong: bool = False) -> Reply:
    values = {"code": asked["code"], "then": own_place(asked["then"]), "is_wrong": is_wrong}
    return Shown("pair", values, status=422 if is_wrong else 200)


_CODE, _THEN = FormField("code"), FormField("then")
VIEWS = (
    View("/pair", form, takes=(_CODE, _THEN), keeps=False, open_to="anybody"),
    View("/pair", paired, "POST", takes=(_CODE, _THEN), guards=True, open_to="anybody"),
)
