"""What the page's server notes: a line for each act, and each fault with where it came from."""

from __future__ import annotations

import json
import logging
from collections.abc import Mapping
from pathlib import Path
from urllib.parse import quote

from crib.page.frame.reply import View
from crib.page.frame.request import Visitor

_log = logging.getLogger("crib.page")


def note_in(file: Path | None) -> None:
    """Note on the error stream, or in a file of the shop's own."""
    kept = logging.FileHandler(file, encoding="utf-8") if file else logging.StreamHandler()
    kept.setFormatter(logging.Formatter("%(asctime)s %(message)s", "%Y-%m-%dT%H:%M:%S%z"))
    _log.handlers[:] = [kept]
    _log.setLevel(logging.INFO)
    _log.propagate = False


def note_fault(method: str, path: str) -> None:
    """Note the error that is being handled, with where it came from."""
    _log.exception("fault %s %s", method, quote(path))


def note_write(
    view: View, fields: Mapping[str, tuple[str, ...]], visitor: Visitor, status: int
) -> None:
    """Note an act, or that somebody was let in: who, from which device, with which key.

    Nothing else of what was typed stands in it.
    """
    key = fields.get("key", ("",))[0]
    said = {"by": visitor.person, "device": visitor.name or visitor.device, "key": key}
    words = " ".join(f"{name}={json.dumps(value[:80])}" for name, value in said.items())
    _log.info("write %s %s %s", status, view.path, words)
