"""From what came over the wire to what a view is asked: fields, files, the day of the press."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any, get_args

from starlette.datastructures import UploadFile
from starlette.requests import Request

from crib.acts import Doubt, yes_to
from crib.page.frame.request import PageRequest, Visitor
from crib.page.texts import Texts
from crib.stock.engine.session import Session

OLDEST_PRESS = timedelta(days=366)
FAST_BY = timedelta(minutes=10)
"""How far ahead of this machine a device's clock may be."""
Fields = dict[str, tuple[str, ...]]


async def fields_of(request: Request) -> tuple[Fields, dict[str, bytes]]:
    """Every field of the address and the form, and the files that came with it."""
    every: dict[str, list[str]] = {
        name: [str(value)] for name, value in request.path_params.items()
    }
    sent: dict[str, bytes] = {}
    for name, value in request.query_params.multi_items():
        if name not in request.path_params:
            every.setdefault(name, []).append(value)
    if request.method == "POST":
        async with request.form() as form:
            for name, item in form.multi_items():
                if isinstance(item, UploadFile):
                    sent[name] = await item.read()
                elif name not in request.path_params:
                    every.setdefault(name, []).append(item)
    return {name: tuple(values) for name, values in every.items()}, sent


def asked_of(
    session: Session,
    request: Request,
    every: Mapping[str, tuple[str, ...]],
    sent_files: Mapping[str, bytes],
    texts: Texts,
    visitor: Visitor,
    **around: Any,
) -> PageRequest:
    """What a view is asked; ``around`` is what the application itself adds to it."""
    now = datetime.now().astimezone()
    said_pressed = every.get("pressed_at", ("",))[0]
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
        pressed_on(said_pressed, now) or now.date(),
        yes_to(*(doubt for doubt in doubts if doubt in sure)),
        every.get("key", ("",))[0],
        sent_files,
        frozenset(request.path_params),
        str(request.base_url).rstrip("/"),
        odd_clock=said_pressed[:16] if pressed_on(said_pressed, now) is None else "",
        is_posted=request.method == "POST",
        **around,
    )


def pressed_on(text: str, now: datetime) -> date | None:
    """The day of the press: today where none is said, None for one that cannot be."""
    if not text:
        return now.date()
    try:
        pressed = datetime.fromisoformat(text)
        moment = (pressed if pressed.tzinfo else pressed.astimezone()).astimezone()
    except (ValueError, OverflowError):
        return None
    return min(moment, now).date() if now - OLDEST_PRESS < moment <= now + FAST_BY else None
