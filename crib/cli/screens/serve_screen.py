"""What is said before the page is served: where it is, who is let in, the code for the next."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from crib.cli.door import say
from crib.stock.engine.folders import home_folder

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.book.pairing import LetIn, ListedDevice, NewCode
    from crib.page.serve import Serving
    from crib.stock.engine.place import Place


@dataclass(frozen=True)
class Devices:
    """Every device that was let in."""

    devices: tuple[ListedDevice, ...]


def draw_devices(screen: Console, found: Devices) -> None:
    """A line for each device."""
    for one in found.devices:
        state = f"shut out {_day(one.revoked_at)}" if one.revoked_at else _rights(one.may)
        state = "must be paired anew" if one.pair_anew else state
        since = f"let in {_day(one.paired_at)} by {one.let_in_by}"
        say(screen, f"{one.name}; {one.sort}; {state}; {since}", then="  ")
    if not found.devices:
        say(screen, "no device was let in yet: crib serve --pair", then="  ")


def draw_revoked(screen: Console, device: ListedDevice) -> None:
    """Who is not let in any more."""
    say(screen, f"{device.name} is shut out from now on", then="  ")


def draw_token(screen: Console, made: LetIn) -> None:
    """A program's token, this once."""
    say(screen, f"token for {made.name}, which {_rights(made.may)}; it is not shown again:")
    screen.print(made.credential, soft_wrap=True, markup=False, highlight=False)
    say(screen, "it goes into the header: Authorization: Bearer TOKEN", then="  ")


def serving_at(listen: str, port: int, host_names: str, log: str, *, https: bool) -> Serving:
    """Where the page is to be served."""
    from crib.page.serve import Serving

    names = tuple(host_names.replace(",", " ").split())
    tls_folder = home_folder() / "page-tls" if https else None
    return Serving(listen, port, names, Path(log) if log else None, tls_folder)


def announce(serving: Serving, code: NewCode | None, *, as_json: bool) -> None:
    """Say where the page is, what that means, and the code with its picture."""
    from crib.page.guard.hosts import LOOPBACK_NAMES, is_loopback

    places = serving.places()
    at = places[0] if places else ""
    if as_json:
        pairing = {"code": code.code, "name": code.name, "may": code.may} if code else None
        made = {"page": at, "addresses": places, "pairing": pairing}
        print(json.dumps(made), flush=True)
        return
    here = is_loopback(serving.listen) or serving.listen in LOOPBACK_NAMES
    print(f"the page: {', or '.join(places)}, until Ctrl+C")
    if here:
        print("only this machine reaches it; others with --listen 0.0.0.0")
    else:
        print("whoever is in this network reaches it; only paired devices see anything of the crib")
    tls = serving.tls()
    if tls is not None:
        from crib.page.guard.certificate import fingerprint

        print(f"how a tablet trusts it: {at}trust; the authority's fingerprint (SHA-256):")
        print(fingerprint(tls.authority).replace(":", " "))
    if code is not None:
        _show_code(code, at)
    sys.stdout.flush()


def start(crib: Place, serving: Serving, code: NewCode | None, *, as_json: bool) -> None:
    """Say what is to be said, and serve; only say it where just a code was asked of a running page.

    Raises:
        BadValue: where the page cannot listen.
    """
    from crib.page.serve import is_served, require_free, running_page, serve

    running = running_page(crib) if code is not None else None
    runs = running is not None or (code is not None and is_served(serving))
    if not runs:
        require_free(serving)
    announce(running or serving, code, as_json=as_json)
    if not runs:
        serve(crib, serving)
    elif not as_json:
        where = "the page runs there already:" if running else "that port is taken: if by the page,"
        print(f"{where} it takes the code as it runs")


def _show_code(code: NewCode, place: str) -> None:
    from segno import make

    address = f"{place}pair?code={code.code}"
    print(f"\ncode {code.code[:4]} {code.code[4:]}, for one device that {_rights(code.may)}")
    print(f"it is good for {code.holds_s // 60} minutes, at {place}pair or by this picture:")
    if sys.stdout.isatty():
        make(address).terminal(compact=True)
    else:
        print(address)


def _rights(may: str) -> str:
    return "may only look" if may == "look" else "may do all"


def _day(moment: str) -> str:
    return moment[:10]
