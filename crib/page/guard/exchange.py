"""One request on its way to a view: who asks, whether they may, and with what the view is asked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar
from urllib.parse import quote, urlsplit

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from crib.desk.book.pins import has_pin
from crib.desk.book.rights import require_right
from crib.desk.common.asker_site import stand_where
from crib.errors import CribError, Missing, Refused
from crib.page.frame.answering import made_ready, refused
from crib.page.frame.asking import Fields, asked_of
from crib.page.frame.desk_threads import DeskHere
from crib.page.frame.kept_answers import KeptAnswer
from crib.page.frame.reply import View
from crib.page.frame.request import PageRequest, Visitor
from crib.page.guard.pairing import Device
from crib.page.guard.rights import act_of
from crib.page.texts import Texts
from crib.stock.book.people import person_called
from crib.stock.engine.session import Session

Made = TypeVar("Made")


@dataclass(frozen=True)
class Exchange:
    """A request that was let in, as it is asked of a crib."""

    view: View
    request: Request
    fields: Fields
    files: Mapping[str, bytes]
    texts: Texts
    visitor: Visitor
    to_program: bool
    authority: Path | None

    @property
    def device(self) -> Device | None:
        """What the request came from; None for a stranger at an open place."""
        device: Device | None = self.request.scope["device"]
        return device

    @property
    def is_by_program(self) -> bool:
        """Whether a program asks, which says by itself for whom it acts."""
        return self.device is not None and self.device.is_program

    @property
    def lacks_person(self) -> bool:
        """Whether somebody has to say first who they are."""
        return self.view.needs_person and not self.visitor.person and not self.is_by_program

    async def made_ready(self, desk: DeskHere) -> Any:
        """What an act is to be done with, worked out at a thread that does not write."""
        if self.view.before is None:
            return None
        return await desk.run(
            lambda session: self.asked(desk, session, lambda one: made_ready(self.view, one))
        )

    def asked(
        self, desk: DeskHere, session: Session, do: Callable[[PageRequest], Made], ready: Any = None
    ) -> Made | KeptAnswer:
        """What is made of the question in a crib, or the refusal of who may not ask it."""
        asked = asked_of(
            session,
            self.request,
            self.fields,
            self.files,
            self.texts,
            self.visitor,
            authority=self.authority,
            as_it_is=desk.as_it_is,
            ready=ready,
        )
        try:
            if self.is_by_program:
                asked = replace(asked, visitor=_named(asked))
            at_device = self.device.site_id if self.device else None
            stand_where(session, "", asked.by, at_device, writes=self.view.writes)
            _require_right(self.view, asked)
        except CribError as error:
            return refused(error, asked, self.to_program)
        return do(asked)

    def who_first(self) -> Response:
        """A name is asked for first; a sent form is gone back to, an outbox keeps its post."""
        if self.to_program:
            error = {"code": "needs-person", "message": "say first who acts"}
            return JSONResponse({"error": error}, 401)
        url = self.request.url
        then = url.path + (f"?{url.query}" if url.query else "")
        if self.view.method == "POST":
            then = urlsplit(self.request.headers.get("referer", "")).path or "/"
        return Response(status_code=303, headers={"location": f"/who?then={quote(then)}"})


def _named(asked: PageRequest) -> Visitor:
    """A program says by itself for whom it acts.

    Raises:
        UnknownName: when nobody has that name.
        Refused: for somebody whose name is behind a PIN.
    """
    if not asked["by"]:
        return asked.visitor
    person = person_called(asked.session, asked["by"])
    if has_pin(asked.session, person):
        message = f"{person} has a PIN: a program cannot act for them"
        raise Refused(message, way_out="let it act for a name of its own")
    return replace(asked.visitor, person=person)


def _require_right(view: View, asked: PageRequest) -> None:
    """Nothing, where somebody may do what a view writes.

    Raises:
        NotAllowed: as ``require_right``.
        Missing: where a program does not say for whom it acts, and must.
    """
    if view.needs_person and not asked.by:
        message = "for whom that is was not said"
        raise Missing(message, way_out="give a badge name in the field `by`")
    if view.writes:
        require_right(asked.session, asked.by, act_of(view.path))
