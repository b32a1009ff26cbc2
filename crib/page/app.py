"""The page as one application: the list of its views, and how a request becomes an answer."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field, replace
from typing import TypeVar
from urllib.parse import quote, urlsplit

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Mount, Route

from crib.desk.book.pins import has_pin
from crib.desk.book.rights import require_right
from crib.desk.common.asker_site import stand_where
from crib.errors import CribError, Missing, Refused
from crib.page.frame.answering import answered, made_ready, refused, status_of, with_keys
from crib.page.frame.asking import Fields, asked_of, fields_of
from crib.page.frame.desk_threads import DeskHere, DeskThreads
from crib.page.frame.kept_answers import KeptAnswer, KeptAnswers
from crib.page.frame.reply import View
from crib.page.frame.request import PageRequest, Visitor
from crib.page.frame.scripts import STATIC, PageFiles
from crib.page.guard.body_limit import TooLong
from crib.page.guard.gate import Gate
from crib.page.guard.hosts import LOOPBACK_NAMES
from crib.page.guard.pairing import OWN_SCREEN, Credential, Device, device_behind
from crib.page.guard.people import PeopleAtDevices
from crib.page.guard.plain_page import fault_page, language_of, plain_page, wants_json
from crib.page.guard.rights import act_of
from crib.page.guard.seats import new_seat, seat_of
from crib.page.guard.secret import kept_secret
from crib.page.guard.tls_files import TlsFiles
from crib.page.guard.wellformed import is_text
from crib.page.guard.write_log import note_write
from crib.page.texts import texts_of
from crib.page.views import (
    answer,
    broke,
    count,
    friday,
    friday_order,
    front,
    grinding,
    jobs,
    kit,
    lend,
    orders,
    pair,
    piece,
    piece_acts,
    programs,
    scan,
    stroke_drafts,
    strokes,
    take,
    tool,
    trust,
    wall,
    wants,
    ways,
    who,
    written,
)
from crib.stock.book.people import person_called
from crib.stock.engine.folders import beside
from crib.stock.engine.place import Place
from crib.stock.engine.session import Session

Made = TypeVar("Made")

VIEW_FILES = (
    front,
    pair,
    trust,
    who,
    answer,
    take,
    tool,
    friday,
    friday_order,
    wants,
    orders,
    jobs,
    kit,
    wall,
    strokes,
    stroke_drafts,
    written,
    piece_acts,
    piece,
    grinding,
    broke,
    scan,
    count,
    lend,
    ways,
)
PAGES: tuple[View, ...] = tuple(view for file in VIEW_FILES for view in file.VIEWS)
VIEWS = (*PAGES, *programs.views_of(PAGES))


@dataclass
class PageApp:
    """What the page keeps while it runs: threads, answers that hold, who is at which device."""

    crib: Place
    hosts: frozenset[str] = frozenset(LOOPBACK_NAMES)
    tls: TlsFiles | None = None
    threads: DeskThreads = field(init=False)
    people: PeopleAtDevices = field(init=False)

    def __post_init__(self) -> None:
        self.people = PeopleAtDevices(kept_secret(beside(self.crib)))
        self.threads = DeskThreads(self.crib)
        self._kept = {False: KeptAnswers(), True: KeptAnswers()}

    def asgi(self) -> Gate:
        """The application behind its gate."""
        static = Mount("/static", PageFiles(directory=STATIC))
        routes = [*(self._route(path) for path in _places()), static]
        handlers = {
            HTTPException: _plainly,
            TooLong: _plainly,
            Exception: _plainly,
            ClientDisconnect: _gone,
        }
        inside = Starlette(routes=routes, exception_handlers=handlers, lifespan=self._life)
        inside.router.redirect_slashes = False
        return Gate(inside, self.hosts, self._device)

    @asynccontextmanager
    async def _life(self, _app: Starlette) -> AsyncIterator[None]:
        yield
        self.threads.close()

    async def _device(self, shown: Credential) -> Device | None:
        return await self.threads.quick.run(lambda session: device_behind(session, shown))

    def _route(self, path: str) -> Route:
        views: dict[str, View] = {view.method: view for view in VIEWS if view.path == path}

        async def endpoint(request: Request) -> Response:
            method = "GET" if request.method == "HEAD" else request.method
            return await self._reply(views[method], request)

        return Route(path, endpoint, methods=list(views), name=path)

    async def _reply(self, view: View, request: Request) -> Response:
        texts = texts_of(language_of(request.headers))
        fields, sent_files = await fields_of(request)
        if not all(is_text(value) for values in fields.values() for value in values):
            return plain_page(400, request.headers)
        visitor = self._visitor(request, fields)
        device: Device | None = request.scope["device"]
        is_program = device is not None and device.is_program
        to_program = wants_json(request.headers)
        if view.needs_person and not visitor.person and not is_program:
            return _who_first(view, request, to_program)

        def in_crib(session: Session, do: Callable[[PageRequest], Made]) -> Made | KeptAnswer:
            asked = asked_of(session, request, fields, sent_files, texts, visitor)
            asked = replace(
                asked,
                authority=self.tls.authority if self.tls else None,
                is_posted=request.method == "POST",
            )
            try:
                asked = replace(asked, visitor=_named(asked)) if is_program else asked
                at_device = device.site_id if device else None
                stand_where(session, "", asked.by, at_device, writes=view.writes)
                _require_right(view, asked)
            except CribError as error:
                return refused(error, asked, to_program)
            return do(asked)

        def work(session: Session) -> KeptAnswer:
            return in_crib(
                session,
                lambda asked: self._kept_or_answered(
                    view, replace(asked, ready=ready), to_program, desk.state
                ),
            )

        desk = self._thread(view)
        try:
            ready: object = None
            if view.before is not None:
                ready = await self.threads.slow.run(
                    lambda session: in_crib(session, lambda asked: made_ready(view, asked))
                )
            made = await desk.run(work)
        except CribError as error:
            return fault_page(error, status_of(error), request.headers)
        if view.writes or view.guards:
            note_write(view, fields, visitor, made.status)
        sent = Response(with_keys(made.body), made.status, made.headers, made.media_type)
        if made.person is not None and device is not None:
            self._seat(device, made.person, request, sent)
        return sent

    def _seat(self, device: Device, person: str, request: Request, sent: Response) -> None:
        """Somebody, or nobody, is at a device or a browser of this machine from now on."""
        seat = seat_of(device, request.headers)
        if person and device is OWN_SCREEN:
            seat, told = new_seat()
            sent.headers.append("set-cookie", told)
        self.people.at_device(seat, person)

    def _thread(self, view: View) -> DeskHere:
        # A thread does not see as a change what it wrote itself, and would answer from before it.
        if view.method == "POST" and (view.writes or not view.slow):
            return self.threads.writing
        return self.threads.slow if view.slow else self.threads.quick

    def _kept_or_answered(
        self, view: View, asked: PageRequest, to_program: bool, found_at: int | None
    ) -> KeptAnswer:
        """A question's answer, worked out once a state of the crib, day, person and language."""
        if view.method != "GET" or not view.keeps:
            return answered(view, asked, to_program)
        kept = self._kept[view.slow]
        # The session itself, not its id: another one may get that when this one is gone.
        state = (found_at, asked.now.date(), asked.session)
        same = (
            asked.path,
            tuple(asked.every.items()),
            asked.texts.language,
            asked.visitor,
            to_program,
        )
        found = kept.find(state, same)
        if found is None:
            found = answered(view, asked, to_program)
            kept.keep(state, same, found)
        return found

    def _visitor(self, request: Request, fields: Fields) -> Visitor:
        device: Device | None = request.scope["device"]
        if device is None:
            return Visitor("", "", "look")
        voucher = fields.get("voucher", ("",))[0] if request.method == "POST" else ""
        person = self.people.vouched(device.key, voucher) if voucher else ""
        person = person or self.people.at(seat_of(device, request.headers))
        return Visitor(
            device.key, device.name, device.may, person, self.people.voucher(device.key, person)
        )


def _who_first(view: View, request: Request, to_program: bool) -> Response:
    """A name is asked for first; a form that was sent is gone back to, an outbox keeps its post."""
    if to_program:
        error = {"code": "needs-person", "message": "say first who acts"}
        return JSONResponse({"error": error}, 401)
    then = request.url.path + (f"?{request.url.query}" if request.url.query else "")
    if view.method == "POST":
        then = urlsplit(request.headers.get("referer", "")).path or "/"
    return Response(status_code=303, headers={"location": f"/who?then={quote(then)}"})


def _places() -> list[str]:
    """Every address once, in the order of the views."""
    return list(dict.fromkeys(view.path for view in VIEWS))


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


async def _plainly(request: Request, error: Exception) -> Response:
    if isinstance(error, TooLong):
        return plain_page(413, request.headers)
    if not isinstance(error, HTTPException):
        return plain_page(500, request.headers)
    known = error.status_code in (404, 405)
    return plain_page(error.status_code if known else 400, request.headers, more=error.headers)


async def _gone(_request: Request, _error: Exception) -> Response:
    """Who asked is gone before the whole of it came: nothing is done, and nobody to be told."""
    return Response(status_code=400)
