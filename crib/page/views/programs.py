"""For programs: every address with its fields, as a page and as an OpenAPI document."""

from __future__ import annotations

import json
from collections.abc import Sequence
from importlib.metadata import version

from crib.page.frame.open_api import document, fields_asked, plain_path
from crib.page.frame.reply import Drawing, Reply, Shown, View
from crib.page.frame.request import PageRequest


def views_of(pages: Sequence[View]) -> tuple[View, ...]:
    """The views that list the other pages."""

    def programs(_asked: PageRequest) -> Reply:
        """Every address, for whoever writes a program."""
        lines = [(one.method, plain_path(one.path), fields_asked(one), one.writes) for one in pages]
        lines.sort(key=lambda line: (line[1], line[0]))
        return Shown("programs", {"lines": lines}, document(pages, version("crib")))

    def open_api(_asked: PageRequest) -> Reply:
        """The same, for a program."""
        said = json.dumps(document(pages, version("crib")), indent=1)
        return Drawing(said.encode(), "application/json")

    return (View("/programs", programs), View("/openapi.json", open_api))
