"""The page's addresses for programs, as an OpenAPI document made from the views themselves."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from crib.page.frame.reply import FormField, View

_CONVERTER = re.compile(r"\{(\w+):\w+\}")
_NAMES = re.compile(r"\{(\w+)\}")
_SORTS: dict[str, dict[str, str]] = {
    "text": {"type": "string"},
    "whole": {"type": "integer"},
    "flag": {"type": "string"},
    "file": {"type": "string", "format": "binary"},
}
CARRIED = (
    FormField("key", needed=True),
    FormField("pressed_at"),
    FormField("by"),
    FormField("sure", many=True),
)
"""What each act carries beside its own fields: its key, the moment, for whom, yes to a doubt."""
_ANSWERS = {
    "200": "Done, or what was asked for.",
    "401": "Not let in.",
    "403": "Not allowed.",
    "404": "Not known.",
    "409": "Asked back: send it again with what is confirmed in `sure`.",
    "422": "Refused; nothing was done.",
    "429": "Too often.",
    "503": "The crib cannot be used now.",
}


def document(views: Iterable[View], version: str) -> dict[str, Any]:
    """The document: each address with its methods, fields and answers."""
    paths: dict[str, dict[str, Any]] = {}
    for view in views:
        paths.setdefault(plain_path(view.path), {})[view.method.lower()] = _operation(view)
    return {
        "openapi": "3.1.0",
        "info": {"title": "The page of a tool crib", "version": version},
        "security": [{"token": []}],
        "paths": paths,
        "components": {
            "securitySchemes": {"token": {"type": "http", "scheme": "bearer"}},
            "schemas": {"Error": _ERROR},
        },
    }


def plain_path(path: str) -> str:
    """An address without how its parts are read."""
    return _CONVERTER.sub(r"{\1}", path)


def fields_asked(view: View) -> tuple[FormField, ...]:
    """The fields of a view that do not stand in its address."""
    in_path = _NAMES.findall(plain_path(view.path))
    carried = CARRIED if view.writes else ()
    taken = {one.name: one for one in (*view.takes, *carried)}
    return tuple(one for name, one in taken.items() if name not in in_path)


def _operation(view: View) -> dict[str, Any]:
    path = plain_path(view.path)
    words = [word for word in re.split(r"\W+", path) if word] or ["front"]
    made: dict[str, Any] = {"operationId": "_".join([view.method.lower(), *words])}
    parameters = [
        {"name": name, "in": "path", "required": True, "schema": _SORTS["text"]}
        for name in _NAMES.findall(path)
    ]
    fields = fields_asked(view)
    if view.method == "GET":
        parameters += [
            {"name": one.name, "in": "query", "required": one.needed, "schema": _schema(one)}
            for one in fields
        ]
    elif fields:
        made["requestBody"] = {"content": _body(fields)}
    answers = {number: _answer(number, text) for number, text in _ANSWERS.items()}
    opened: dict[str, Any] = {"security": []} if view.open_to == "anybody" else {}
    return made | opened | {"parameters": parameters, "responses": answers}


def _body(fields: tuple[FormField, ...]) -> dict[str, Any]:
    has_file = any(one.sort == "file" for one in fields)
    sort = "multipart/form-data" if has_file else "application/x-www-form-urlencoded"
    schema = {
        "type": "object",
        "properties": {one.name: _schema(one) for one in fields},
        "required": [one.name for one in fields if one.needed],
    }
    return {sort: {"schema": schema}}


def _schema(one: FormField) -> dict[str, Any]:
    schema: dict[str, Any] = dict(_SORTS[one.sort])
    if one.sort == "flag":
        schema["enum"] = ["yes"]
    return {"type": "array", "items": schema} if one.many else schema


def _answer(number: str, text: str) -> dict[str, Any]:
    wrong = {"$ref": "#/components/schemas/Error"}
    schema = {} if number == "200" else wrong
    return {"description": text, "content": {"application/json": {"schema": schema}}}


_ERROR: dict[str, Any] = {
    "type": "object",
    "required": ["error"],
    "properties": {
        "error": {
            "type": "object",
            "required": ["code", "message"],
            "properties": {
                "code": {"type": "string"},
                "message": {"type": "string"},
                "way_out": {"type": "string"},
                "confirm": {"type": ["string", "null"]},
            },
        }
    },
}
