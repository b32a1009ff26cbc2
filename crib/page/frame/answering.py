"""From a view to what is sent: a page or an object for a program, an act done once, an error."""

from __future__ import annotations

import json
import secrets
from dataclasses import replace
from datetime import datetime
from typing import Any
from urllib.parse import quote

from crib.acts import Act, acts_in
from crib.desk.common.once import KeyedRequest, once
from crib.errors import (
    AskBack,
    BadInput,
    CribBusy,
    CribError,
    CribMoved,
    DiskFault,
    NewerCrib,
    NoCrib,
    NotAllowed,
    Refused,
    ServerAway,
    UnknownName,
)
from crib.page.frame.acts import act_place, act_words
from crib.page.frame.amiss import amiss
from crib.page.frame.drawn import drawn
from crib.page.frame.kept_answers import KeptAnswer
from crib.page.frame.reply import Done, Drawing, GoTo, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.stock.book.kept_keys import KeptKey, kept_key
from crib.wording.plain import Plain

KEY_MARK = b"@@key@@"
HTML, JSON = "text/html; charset=utf-8", "application/json"
_WRONG = 400

STATUS: tuple[tuple[type[CribError], int], ...] = (
    (AskBack, 409),
    (UnknownName, 404),
    (NotAllowed, 403),
    (BadInput, 422),
    (CribBusy, 503),
    (CribMoved, 503),
    (NoCrib, 503),
    (NewerCrib, 503),
    (ServerAway, 503),
    (DiskFault, 507),
    (CribError, 500),
)
"""What each sort of error is to a browser, the first that fits."""


def answered(view: View, asked: PageRequest, to_program: bool) -> KeptAnswer:
    """The answer of a view, or its error, as it is sent."""
    try:
        if view.writes:
            return _told(_done_once(view, asked), asked, to_program)
        return _sent(view.answer(asked), asked, to_program)
    except BadInput as error:
        again = None if to_program else _drawn_again(view, error, asked)
        return again or refused(error, asked, to_program)
    except _SentAlready as error:
        return _sent_already(error, asked, to_program)
    except CribError as error:
        return refused(error, asked, to_program)


def _drawn_again(view: View, error: BadInput, asked: PageRequest) -> KeptAnswer | None:
    """The form that was sent, with what is wrong in it; None where it has to be a page of its own.

    A doubt has its own page with a button for each answer.
    """
    if view.form is None or (isinstance(error, AskBack) and error.confirm):
        return None
    wrong = amiss(error, tuple(one.name for one in view.takes))
    again = replace(asked, amiss=wrong)
    try:
        shown = view.form(again)
    except BadInput:
        return None
    return (
        _html(replace(shown, status=status_of(error)), again) if isinstance(shown, Shown) else None
    )


def status_of(error: CribError) -> int:
    """What an error is to a browser."""
    return next(number for sort, number in STATUS if isinstance(error, sort))


def refused(error: CribError, asked: PageRequest, to_program: bool) -> KeptAnswer:
    """An error with its way out; what is asked back comes with a button for each answer."""
    status = status_of(error)
    if to_program:
        return _json({"error": _plain(asked).error(error)}, status)
    values = {"error": error, "is_asked": isinstance(error, AskBack), "again": _again(asked)}
    values["answers"] = [one for one in _answers(error) if asked.texts.has(f"answer.{one[0]}")]
    return _html(Shown("refused", values, status=status), asked)


def _again(asked: PageRequest) -> dict[str, tuple[str, ...]]:
    """The fields of the form, to be sent again with an answer to what was asked back."""
    return {name: said for name, said in asked.every.items() if name not in asked.in_path}


def _answers(error: CribError) -> tuple[tuple[str, str], ...]:
    """The fields with what may be said in them, as the way out of a doubt names them."""
    if not isinstance(error, AskBack):
        return ()
    said = (one for one in acts_in(error.way_out) if one.name.startswith("say."))
    return tuple((name, str(value)) for one in said for name, value in one.figures if value)


class _SentAlready(Exception):
    """A form that was sent already, and says something else now."""

    def __init__(self, refusal: Refused, before: KeptKey) -> None:
        super().__init__(refusal.message)
        self.refusal = refusal
        self.before = before


def _sent_already(error: _SentAlready, asked: PageRequest, to_program: bool) -> KeptAnswer:
    """What the form did the first time, and a button to send it as something new."""
    if to_program:
        return refused(error.refusal, asked, to_program)
    before = error.before
    did = json.loads(before.answer) if before.command.startswith("page ") else {}
    moment = datetime.fromisoformat(before.made_at).astimezone().strftime("%Y-%m-%d %H:%M")
    again = {name: said for name, said in _again(asked).items() if name not in _NOT_MEANT}
    values = {"did": did, "who": before.person, "moment": moment, "again": again}
    values["used"] = asked.key
    return _html(Shown("sent_already", values, status=422), replace(asked, key=""))


def _sent(reply: Reply, asked: PageRequest, to_program: bool) -> KeptAnswer:
    if isinstance(reply, GoTo):
        return KeptAnswer(b"", 303, HTML, {"location": reply.to, **reply.headers}, reply.person)
    if isinstance(reply, Drawing):
        named = f"attachment; filename*=UTF-8''{quote(reply.file_name)}"
        headers = {"content-disposition": named} if reply.file_name else {}
        return KeptAnswer(reply.body, 200, reply.media_type, headers)
    if isinstance(reply, Done):
        return _told({"to": reply.to, "told": reply.told}, asked, to_program)
    if to_program:
        return _json(_object(reply.result, asked), reply.status)
    return _html(reply, asked)


def _done_once(view: View, asked: PageRequest) -> dict[str, Any]:
    """What was answered to this key: done now, or found done before."""
    means = sorted((name, value) for name, value in asked.every.items() if name not in _NOT_MEANT)
    # Not who asks: the same form sent again is the same act, whoever stands there by then.
    text = json.dumps(means, ensure_ascii=False)
    words = f"page {view.path} {' '.join(f'{n}={v}' for n, each in means for v in each)}"
    request = KeyedRequest(asked.key, f"page {view.path}", text, words, asked.by)
    try:
        answer = once(asked.session, request, lambda: _kept(view, asked))
    except Refused as refusal:
        before = kept_key(asked.session, asked.key.strip())
        if before is None:
            raise
        raise _SentAlready(refusal, before) from refusal
    kept: dict[str, Any] = json.loads(answer)
    return kept


_NOT_MEANT = ("key", "voucher", "pressed_at", "sure")


def made_ready(view: View, asked: PageRequest) -> Any:
    """What an act is to be done with, or what is against it; nothing for a key that was used."""
    if view.before is None or kept_key(asked.session, asked.key.strip()) is not None:
        return None
    try:
        return view.before(asked)
    except BadInput as error:
        return error


def _kept(view: View, asked: PageRequest) -> str:
    if isinstance(asked.ready, BadInput):
        raise asked.ready
    reply = view.answer(asked)
    if not isinstance(reply, Done):
        message = f"{view.path} writes, so it tells what was done"
        raise TypeError(message)
    told = asked.texts(reply.told, **reply.slots)
    if asked.odd_clock and not asked["on"]:
        day = asked.pressed_on.isoformat()
        told = f"{told} {asked.texts('form.odd-clock', said=asked.odd_clock, day=day)}"
    made = {"to": reply.to, "told": told}
    return json.dumps(made | {"result": _plain(asked).value(reply.result)}, ensure_ascii=False)


def _told(done: dict[str, Any], asked: PageRequest, to_program: bool) -> KeptAnswer:
    """An act that is done: a program and the page's script get a receipt, a browser a page."""
    if to_program:
        return _json({"done": True, **done, "key": asked.key}, 200)
    between = "&" if "?" in done["to"] else "?"
    to = f"{done['to']}{between}done={quote(asked.key)}"
    return KeptAnswer(b"", 303, HTML, {"location": to})


def _object(result: Any, asked: PageRequest) -> Any:
    said = _plain(asked).value(result)
    if not isinstance(said, dict):
        return said
    which = asked.as_it_is(asked.session).which
    facts: dict[str, Any] = {"name": which.name, "file": which.file.name, "demo": which.demo}
    facts |= {"site": which.site} if which.site else {}
    return {**said, "answered_from": facts | {"cannot_write": which.cannot_write}}


def _plain(asked: PageRequest) -> Plain:
    def words(one: Act) -> str:
        return act_words(one, asked.texts)

    return Plain(words, lambda one: act_place(one) or words(one))


def _told_before(asked: PageRequest) -> str:
    """What was told of the act that led here: read from the crib, never from the address."""
    done = _done_before(asked)
    return str(done["told"]) if done else ""


def told_result(asked: PageRequest) -> Any:
    """The result of the act that led here, as a program is told it; None where there is none."""
    done = _done_before(asked)
    return done["result"] if done else None


def _done_before(asked: PageRequest) -> dict[str, Any] | None:
    is_known = asked["done"] and asked.visitor.device
    kept = kept_key(asked.session, asked["done"]) if is_known else None
    if kept is None or not kept.command.startswith("page "):
        return None
    done: dict[str, Any] = json.loads(kept.answer)
    return done


def with_keys(body: bytes) -> bytes:
    """A page with a new key in each of its forms: an answer may be kept, a key never."""
    first, *rest = body.split(KEY_MARK)
    return first + b"".join(f"page-{secrets.token_hex(12)}".encode() + part for part in rest)


def _json(said: Any, status: int) -> KeptAnswer:
    return KeptAnswer(json.dumps(said, ensure_ascii=False).encode(), status, JSON)


def _html(page: Shown, asked: PageRequest) -> KeptAnswer:
    which = asked.as_it_is(asked.session).which
    around = {"asked": asked, "visitor": asked.visitor, "crib": which, "place": act_place}
    # What was not done goes on under its own key, so that an outbox knows it again.
    key = asked.key if page.status >= _WRONG else ""
    around |= {"told": _told_before(asked), "key": key or KEY_MARK.decode()}
    text = drawn(page.template, asked.texts, {**around, **page.values})
    return KeptAnswer(text.encode(), page.status, HTML)
