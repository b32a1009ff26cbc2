"""``crib serve``: the page at the window, for phones, tablets and the shop's PC."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated, Any

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, chosen_place, opened

if TYPE_CHECKING:
    from rich.console import Console

    from crib.stock.engine.session import Session


def command(
    listen: Annotated[
        str, typer.Option("--listen", metavar="ADDRESS", help="Where to listen; else only here.")
    ] = "127.0.0.1",
    port: Annotated[int, typer.Option("--port", min=1, max=65535, help="The port.")] = 8321,
    host_name: Annotated[
        str, typer.Option("--host-name", metavar="NAMES", help="What else the network calls it.")
    ] = "",
    https: Annotated[
        bool, typer.Option("--https", help="With a certificate of the shop's own authority.")
    ] = False,
    log: Annotated[
        str, typer.Option("--log", metavar="FILE", help="Note each write there, not on the screen.")
    ] = "",
    pair: Annotated[bool, typer.Option("--pair", help="A code that lets one device in.")] = False,
    name: Annotated[str, typer.Option("--name", metavar="TEXT", help="What to call it.")] = "",
    look_only: Annotated[bool, typer.Option("--look-only", help="It may only look.")] = False,
    token: Annotated[
        str, typer.Option("--token", metavar="NAME", help="A token for a program, shown once.")
    ] = "",
    devices: Annotated[bool, typer.Option("--devices", help="Which devices are let in.")] = False,
    revoke: Annotated[
        str, typer.Option("--revoke", metavar="NAME", help="Let a device in no more.")
    ] = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """The page at the window, for phones, tablets and the shop's PC.

    Example: crib serve
    Example: crib serve --listen 0.0.0.0 --pair --name "Tablet 1"
    """
    from crib.cli.screens.serve_screen import serving_at, start
    from crib.desk.book.pairing import make_code

    with opened(crib) as session:
        if devices or revoke or token:
            told, draw = _device_told(session, revoke, token, look_only=look_only, by=by)
            answer(told, draw, as_json)
            return
        code = make_code(session, name, look_only=look_only, by=by) if pair else None
    serving = serving_at(listen, port, host_name, log, https=https)
    start(chosen_place(crib), serving, code, as_json=as_json)


def _device_told(
    session: Session, revoke: str, token: str, *, look_only: bool, by: str
) -> tuple[Any, Callable[[Console, Any], None]]:
    """What was asked of devices, and how it is drawn."""
    from crib.cli.screens import serve_screen as screens
    from crib.desk.book import pairing

    if revoke:
        return pairing.revoke(session, revoke), screens.draw_revoked
    if token:
        made = pairing.make_program(session, token, look_only=look_only, by=by)
        return made, screens.draw_token
    return screens.Devices(pairing.list_devices(session)), screens.draw_devices
