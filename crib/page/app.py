"""The page as one application: the list of its views, and how a request becomes an answer."""

from __future__ import annotations

from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import get_args
from urllib.parse import quote, urlsplit

from starlette.applications import Starlette
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.routing import Mount, Route

from crib.acts import Doubt, yes_to
from crib.page.frame.answering import answered, with_keys
from crib.page.frame.desk_threads import DeskThreads
from crib.page.frame.kept_answers import KeptAnswer, KeptAnswers
from crib.page.frame.reply import View
from crib.page.frame.request import PageRequest, Visitor
from crib.page.frame.scripts import STATIC, PageFiles
from crib.page.guard.gate import Gate, TooLong
from crib.page.guard.hosts import LOOPBACK_NAMES
from crib.page.guard.pairing import Device
from crib.page.guard.people import PeopleAtDevices
from crib.page.guard.secret import kept_secret
from crib.page.texts import Texts, best_language, texts_of
from crib.page.views import (
    answer,
    broke,
    count,
    friday,
    front,
    grinding,
    jobs,
    kit,
    lend,
    orders,
    piece,
    piece_acts,
    scan,
    stroke_drafts,
    strokes,
    take,
    tool,
    wall,
    wants,
    who,
    written,
)
from crib.stock.engine.session import Session

VIEW_FILES = (
    front,
    who,
    answer,
    take,
    tool,
    friday,
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
)
VIEWS: tuple[View, ...] = tuple(view for file in VIEW_FILES for view in file.VIEWS)
LANGUAGE_COOKIE = "crib_language"
OLDEST_PRESS = timedelta(days=366)


@dataclass
class PageApp:
    """What the page keeps while it runs: threads, answers that hold, who is at which device."""

    crib: Path
    hosts: frozenset[str] = frozenset(LOOPBACK_NAMES)
    threads: DeskThreads = field(init=False)
    people: PeopleAtDevices = field(init=False)

    def __post_init__(self) -> None:
        self.people = PeopleAtDevices(kept_secret(self.crib))
        self.threads = DeskThreads(self.crib)
        self._kept = {False: KeptAnswers(), True: KeptAnswers()}

    def asgi(self) -> Gate:
        """The application behind its gate."""
        static = Mount("/static", PageFiles(directory=STATIC))
        routes = [*(self._route(view) for view in VIEWS), static]
        handlers = {HTTPException: _plainly, TooLong: _too_long, ClientDisconnect: _gone}
        return Gate(
            Starlette(routes=routes, exception_handlers=handlers, lifespan=self._life), self.hosts
        )

    @asynccontextmanager
    async def _life(self, _app: Starlette) -> AsyncIterator[None]:
        yield
        self.threads.close()

    def _route(self, view: View) -> Route:
        async def endpoint(request: Request) -> Response:
            return await self._reply(view, request)

        return Route(view.path, endpoint, methods=[view.method], name=f"{view.method} {view.path}")

    async def _reply(self, view: View, request: Request) -> Response:
        texts = texts_of(_language(request))
        fields, sent_files = await _fields(view, request)
        visitor = self._visitor(request, fields)
        to_program = "application/json" in request.headers.get("accept", "")
        if view.needs_person and not visitor.person:
            return _who_first(view, request, to_program)

        def work(session: Session) -> KeptAnswer:
            asked = _asked(session, request, fields, sent_files, texts, visitor)
            return self._kept_or_answered(view, asked, to_program)

        thread = self.threads.writing if view.writes else self.threads.quick
        made = await (self.threads.slow if view.slow else thread).run(work)
        self._after(view, request, fields, visitor)
        return Response(with_keys(made.body), made.status, made.headers, made.media_type)

    def _kept_or_answered(self, view: View, asked: PageRequest, to_program: bool) -> KeptAnswer:
        """A question's answer, worked out once a state of the crib, day, person and language."""
        if view.method != "GET" or not view.keeps:
            return answered(view, asked, to_program)
        kept = self._kept[view.slow]
        state = (asked.session.state(), asked.now.date(), id(asked.session))
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

    def _visitor(self, request: Request, fields: Mapping[str, tuple[str, ...]]) -> Visitor:
        device: Device | None = request.scope["device"]
        if device is None:
            return Visitor("", "", "look")
        voucher = fields.get("voucher", ("",))[0]
        person = self.people.vouched(device.key, voucher) if voucher else ""
        person = person or self.people.at(device.key)
        return Visitor(
            device.key, device.name, device.may, person, self.people.voucher(device.key, person)
        )

    def _after(
        self, view: View, request: Request, fields: Mapping[str, tuple[str, ...]], visitor: Visitor
    ) -> None:
        if (view.path, view.method) == ("/who", "POST"):
            person = fields.get("person", ("",))[0]
            if person:
                self.people.touched(visitor.device, person)
            else:
                self.people.forget(visitor.device)


def _who_first(view: View, request: Request, to_program: bool) -> Response:
    """A name is asked for first; a form that was sent is gone back to, an outbox keeps its post."""
    if to_program:
        error = {"code": "needs-person", "message": "say first who acts"}
        return JSONResponse({"error": error}, 401)
    then = request.url.path + (f"?{request.url.query}" if request.url.query else "")
    if view.method == "POST":
        then = urlsplit(request.headers.get("referer", "")).path or "/"
    return Response(status_code=303, headers={"location": f"/who?then={quote(then)}"})


async def _fields(
    view: View, request: Request
) -> tuple[dict[str, tuple[str, ...]], dict[str, bytes]]:
    """Every field of the address and the form, and the files that came with it."""
    every: dict[str, list[str]] = {
        name: [str(value)] for name, value in request.path_params.items()
    }
    sent: dict[str, bytes] = {}
    for name, value in request.query_params.multi_items():
        every.setdefault(name, []).append(value)
    if view.method == "POST":
        async with request.form() as form:
            for name, item in form.multi_items():
                if isinstance(item, UploadFile):
                    sent[name] = await item.read()
                elif name not in request.path_params:
                    every.setdefault(name, []).append(item)
    return {name: tuple(values) for name, values in every.items()}, sent


def _asked(
    session: Session,
    request: Request,
    every: Mapping[str, tuple[str, ...]],
    sent_files: Mapping[str, bytes],
    texts: Texts,
    visitor: Visitor,
) -> PageRequest:
    now = datetime.now().astimezone()
    doubts: tuple[Doubt, ...] = get_args(Doubt)
    sure = every.get("sure", ())
    return PageRequest(
        session,
        request.url.path,
        {name: values[-1] for name, values in every.items()},
        every,
        texts,
        visitor,
        now,
        _pressed_on(every.get("pressed_at", ("",))[0], now),
        yes_to(*(doubt for doubt in doubts if doubt in sure)),
        every.get("key", ("",))[0],
        sent_files,
        frozenset(request.path_params),
        str(request.base_url).rstrip("/"),
    )


def _pressed_on(text: str, now: datetime) -> date:
    """The day of the press, as the page says it; today where it says none that can be."""
    try:
        pressed = datetime.fromisoformat(text)
    except ValueError:
        return now.date()
    moment = pressed if pressed.tzinfo else pressed.astimezone()
    return moment.astimezone().date() if now - OLDEST_PRESS < moment <= now else now.date()


def _language(request: Request) -> str:
    chosen = request.cookies.get(LANGUAGE_COOKIE, "")
    return chosen or best_language(request.headers.get("accept-language", ""))


async def _plainly(_request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    return PlainTextResponse({404: "no such page", 405: "not this way"}.get(status, "no"), status)


async def _gone(_request: Request, _error: Exception) -> Response:
    """Who asked is gone before the whole of it came: nothing is done, and nobody to be told."""
    return Response(status_code=400)


async def _too_long(_request: Request, _error: Exception) -> Response:
    return PlainTextResponse("more than the crib takes at once", 413)
