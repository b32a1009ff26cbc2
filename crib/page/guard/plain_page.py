"""An answer that needs no crib: a refusal at the door, a page that is not there, a fault."""

from __future__ import annotations

import json
from collections.abc import Mapping

from starlette.responses import Response

from crib.errors import CribError, ServerAway
from crib.page.frame.drawn import drawn
from crib.page.guard.seats import cookie_said
from crib.page.texts import best_language, texts_of

LANGUAGE_COOKIE = "crib_language"
CODES = {
    400: "bad-request",
    401: "not-paired",
    403: "not-allowed",
    404: "not-found",
    405: "not-this-way",
    413: "too-long",
    421: "not-our-name",
    429: "too-often",
    500: "fault",
    503: "no-crib",
    507: "disk-fault",
}


def plain_page(
    status: int,
    headers: Mapping[str, str],
    why: str = "",
    more: Mapping[str, str] | None = None,
    message: str = "",
) -> Response:
    """A page in the reader's language, an object for a program; ``why`` tells one sort apart.

    ``message`` is what a room below says itself.
    """
    texts = texts_of(language_of(headers))
    said = message or texts(f"plain.{why or status}")
    if wants_json(headers):
        body = json.dumps({"error": {"code": why or CODES[status], "message": said}})
        return Response(body, status, dict(more or {}), "application/json")
    page = drawn("plain", texts, {"what": said, "status": status})
    return Response(page, status, dict(more or {}), "text/html")


def fault_page(error: CribError, status: int, headers: Mapping[str, str]) -> Response:
    """A page for an error of the crib itself; that a server is away is said in people's words."""
    if isinstance(error, ServerAway):
        return plain_page(status, headers, why=ServerAway.code)
    return plain_page(status, headers, message=error.message)


def wants_json(headers: Mapping[str, str]) -> bool:
    """Whether a program asks."""
    return "application/json" in headers.get("accept", "")


def language_of(headers: Mapping[str, str]) -> str:
    """The language that a reader chose, else the first of the browser's that the page speaks."""
    said = cookie_said(headers, LANGUAGE_COOKIE)
    return said or best_language(headers.get("accept-language", ""))
