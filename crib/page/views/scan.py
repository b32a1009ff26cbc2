"""A scanned label or a photo of one: to the tool or the drawer that it names."""

from __future__ import annotations

from urllib.parse import quote

from crib.desk.shelf.scanned import ScannedCode, printed, scanned
from crib.errors import BadValue, Missing, UnknownName
from crib.page.frame.amiss import about
from crib.page.frame.photo import MOST_PIXELS, NotAPhoto, codes_in
from crib.page.frame.reply import FormField, GoTo, Reply, Shown, View
from crib.page.frame.request import PageRequest


def scan(asked: PageRequest) -> Reply:
    """Where a code leads; a strip to scan into where there is none yet."""
    if not asked["code"]:
        return scanner(asked)
    found = scanned(asked.session, asked["code"])
    if found.sort:
        return GoTo(place_of(found))
    with about("code"):
        raise UnknownName(asked.texts("scan.unknown", code=found.code[:60]))


def scanner(asked: PageRequest) -> Shown:
    """The strip, the photo, and what came near to a code that was misread."""
    return near_to(asked, asked["code"])


def near_to(asked: PageRequest, code: str) -> Shown:
    """The scanner, with what comes near to a code that names nothing."""
    near = scanned(asked.session, code) if code else ScannedCode("", "")
    choices = [ScannedCode(tag, "piece", tag) for tag in near.near_pieces]
    choices += [ScannedCode(name, "drawer", name) for name in near.near_places]
    return _page(choices, near)


def _page(choices: list[ScannedCode], result: object) -> Shown:
    return Shown("scan", {"choices": [(one, place_of(one)) for one in choices]}, result)


def photo(asked: PageRequest) -> Reply:
    """What the codes in a photo name, to the letter: never what only comes near."""
    sent = asked.files.get("photo", b"")
    with about("photo"):
        if not sent:
            raise Missing(asked.texts("scan.photo.none"))
        said = _codes(asked, sent)
        if not said:
            raise Missing(asked.texts("scan.photo.unread"), way_out=asked.texts("scan.photo.hint"))
        found = {one: None for text in said if (one := printed(asked.session, text))}
        if not found:
            raise UnknownName(asked.texts("scan.photo.strange", code=said[0][:60]))
    first, *others = found
    return _page(list(found), found) if others else GoTo(place_of(first))


def _codes(asked: PageRequest, sent: bytes) -> tuple[str, ...]:
    try:
        return codes_in(sent)
    except NotAPhoto as wrong:
        most = MOST_PIXELS // 1_000_000
        raise BadValue(asked.texts(wrong.text, most=most)) from None


def place_of(found: ScannedCode) -> str:
    """The page of a tool or a drawer."""
    return f"/{found.sort}/{quote(found.name, safe='')}"


VIEWS = (
    View("/scan", scan, takes=(FormField("code"),), form=scanner),
    View(
        "/scan/photo",
        photo,
        "POST",
        (FormField("photo", "file", needed=True),),
        slow=True,
        form=scanner,
    ),
)
