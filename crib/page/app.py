"""The page as one application: the list of its views, and how a request becomes an answer."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.routing import Mount, Route

from crib.errors import CribError
from crib.page.frame.answering import answered, status_of, with_keys
from crib.page.frame.asking import Fields, fields_of
from crib.page.frame.desk_threads import DeskHere, DeskThreads
from crib.page.frame.kept_answers import KeptAnswer, KeptAnswers
from crib.page.frame.reply import View
from crib.page.frame.request import PageRequest, Visitor
from crib.page.frame.scripts import STATIC, PageFiles
from crib.page.guard.body_limit import TooLong
from crib.page.guard.exchange import Exchange
from crib.page.guard.gate import Gate
from crib.page.guard.hosts import LOOPBACK_NAMES
from crib.page.guard.pairing import OWN_SCREEN, Credential, Device, device_behind
from crib.page.guard.people import PeopleAtDevices
from crib.page.guard.plain_page import fault_page, language_of, plain_page, wants_json
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
from crib.stock.engine.folders import beside
from crib.stock.engine.place import Place

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
        fields, sent_files = await fields_of(request)
        if not all(is_text(value) for values in fields.values() for value in values):
            return plain_page(400, request.headers)
        asking = Exchange(
            view,
            request,
            fields,
            sent_files,
            texts_of(language_of(request.headers)),
            self._visitor(request, fields),
            wants_json(request.headers),
            self.tls.authority if self.tls else None,
        )
        if asking.lacks_person:
            return asking.who_first()
        try:
            made = await self._made(asking)
        except CribError as error:
            return fault_page(error, status_of(error), request.headers)
        if view.writes or view.guards:
            note_write(view, fields, asking.visitor, made.status)
        sent = Response(with_keys(made.body), made.status, made.headers, made.media_type)
        if made.person is not None and asking.device is not None:
            self._seat(asking.device, made.person, request, sent)
        return sent

    async def _made(self, asking: Exchange) -> KeptAnswer:
        """The answer, at the thread where its view works."""
        desk = self._thread(asking.view)
        ready = await asking.made_ready(self.threads.slow)

        def answer(asked: PageRequest) -> KeptAnswer:
            return self._kept_or_answered(asking.view, asked, asking.to_program, desk.state)

        return await desk.run(lambda session: asking.asked(desk, session, answer, ready))

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


def _places() -> list[str]:
    """Every address once, in the order of the views."""
    return list(dict.fromkeys(view.path for view in VIEWS))


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
