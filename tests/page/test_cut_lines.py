"""A line that is cut before a form came whole: nothing is done, and no fault of the server's."""

from __future__ import annotations

import asyncio
from collections.abc import MutableMapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

from crib.page.app import PageApp


def test_half_a_form_is_no_form(crib: Path) -> None:
    scope = {
        "type": "http",
        "method": "POST",
        "path": "/strokes",
        "raw_path": b"/strokes",
        "query_string": b"",
        "scheme": "http",
        "client": ("127.0.0.1", 50_000),
        "headers": [
            (b"host", b"localhost"),
            (b"content-length", b"100"),
            (b"content-type", b"application/x-www-form-urlencoded"),
        ],
    }
    came: list[MutableMapping[str, Any]] = [
        {"type": "http.request", "body": b"key=a&new-tag=P-0137", "more_body": True},
        {"type": "http.disconnect"},
    ]
    sent: list[MutableMapping[str, Any]] = []

    async def receive() -> MutableMapping[str, Any]:
        return came.pop(0)

    async def send(message: MutableMapping[str, Any]) -> None:
        sent.append(message)

    written = crib.read_bytes()
    answer = PageApp(crib).asgi()(scope, receive, send)
    with ThreadPoolExecutor(1) as pool:  # a browser's tests leave a loop running in this thread
        pool.submit(asyncio.run, answer).result()
    assert sent[0]["status"] == 400
    assert crib.read_bytes() == written
