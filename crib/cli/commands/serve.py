"""``crib serve``: the page at the window, for phones, tablets and the shop's PC."""

from __future__ import annotations

import json
from typing import Annotated

import typer

from crib.cli.door import CribOption, JsonOption, chosen_path, opened


def command(
    host: Annotated[
        str, typer.Option("--listen", metavar="ADDRESS", help="Where to listen; else only here.")
    ] = "127.0.0.1",
    port: Annotated[int, typer.Option("--port", min=1, max=65535, help="The port.")] = 8321,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """The page at the window, for phones, tablets and the shop's PC.

    Example: crib serve
    """
    with opened(crib) as session:
        path = session.path
    from crib.page.serve import serve

    place = f"http://{host}:{port}/"
    print(json.dumps({"page": place}) if as_json else f"{place} until Ctrl+C", flush=True)
    serve(path or chosen_path(crib), host, port)
