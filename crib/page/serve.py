"""The server behind the page: uvicorn on one address, what is noted on the error stream."""

from __future__ import annotations

import gc
import json
import signal
import socket
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Event, Thread

import uvicorn

from crib.errors import BadValue
from crib.page.app import PageApp
from crib.page.guard.addresses import hosts_of, places
from crib.page.guard.tls_files import TlsFiles
from crib.page.guard.write_log import note_in
from crib.stock.engine.folders import beside
from crib.stock.engine.place import Place

PORT = 8321
COLLECT_AFTER = (2_000, 20, 20)
"""Objects, and rounds, after which the collector looks; Python's own are 700, 10 and 10.

The more objects, the longer it holds up who asks then: 2,000 take one millisecond, 20,000 ten.
"""
MOST_AT_ONCE = 200
LOOKED_AFTER_S = 12 * 3600.0


@dataclass(frozen=True)
class Serving:
    """Where the page is served: an address, a port, more names that the machine goes by."""

    listen: str = "127.0.0.1"
    port: int = PORT
    names: tuple[str, ...] = ()
    log: Path | None = None
    tls_folder: Path | None = None
    """Where the certificate and its authority lie; None for plain HTTP."""

    def places(self) -> tuple[str, ...]:
        """The addresses to type."""
        scheme = "https" if self.tls_folder else "http"
        return places(self.listen, self.port, scheme, self.names)

    def hosts(self) -> frozenset[str]:
        """Every name that the page answers to."""
        return hosts_of(self.listen, self.names)

    def tls(self) -> TlsFiles | None:
        """The certificate for those names, made or renewed where that is due."""
        if self.tls_folder is None:
            return None
        # What makes certificates is loaded only where one is wanted.
        from crib.page.guard.certificate import tls_files

        return tls_files(self.tls_folder, self.hosts())


def serve(crib: Place, serving: Serving) -> None:
    """Serve the page until it is stopped.

    Raises:
        BadValue: for an address that this machine does not have, or a port that is taken.
    """
    require_free(serving)
    note_in(serving.log)
    config = config_of(crib, serving)
    _spare_the_collector()
    ended = Event()
    # The server ends by the signal that stopped it, which must let what is below be cleared.
    signal.signal(signal.SIGTERM, _stop)
    Thread(target=_renew_in_time, args=(config, serving, ended), daemon=True).start()
    try:
        with _noted_as_running(crib, serving):
            uvicorn.Server(config).run()
    finally:
        ended.set()


def _stop(_signal: int, _frame: object) -> None:
    raise SystemExit(0)


def running_page(crib: Place) -> Serving | None:
    """Where the page of a crib is served now, as it noted itself; None where it is not."""
    try:
        said = json.loads(_running_note(crib).read_text("utf-8"))
        tls_folder = Path(said["tls_folder"]) if said["tls_folder"] else None
        found = Serving(said["listen"], said["port"], tuple(said["names"]), tls_folder=tls_folder)
    except (OSError, ValueError, LookupError, TypeError):
        return None
    return found if is_served(found) else None


@contextmanager
def _noted_as_running(crib: Place, serving: Serving) -> Iterator[None]:
    """Have it written beside the crib where its page is served, while it is."""
    note = _running_note(crib)
    said = {"listen": serving.listen, "port": serving.port, "names": serving.names}
    said["tls_folder"] = str(serving.tls_folder or "")
    # Without a right to write there, the page is served all the same.
    with suppress(OSError):
        note.write_text(json.dumps(said), "utf-8")
    try:
        yield
    finally:
        with suppress(OSError):
            note.unlink(missing_ok=True)


def _running_note(crib: Place) -> Path:
    path = beside(crib)
    return path.with_name(f"{path.name}-page-running")


def _spare_the_collector() -> None:
    """Have the collector of circles look at new objects only, and less often.

    An answer makes some ten thousand objects and hardly a circle; to go through all that a program
    has loaded, again and again, took a fifth of the time of a find.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(*COLLECT_AFTER)


def config_of(crib: Place, serving: Serving) -> uvicorn.Config:
    """The server of a page; it trusts no header that says who asks, and does not name itself."""
    tls = serving.tls()
    app = PageApp(crib, serving.hosts(), tls)
    return uvicorn.Config(
        app.asgi(),
        host=serving.listen,
        port=serving.port,
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        limit_concurrency=MOST_AT_ONCE,
        timeout_graceful_shutdown=3,
        ssl_certfile=tls.certificate if tls else None,
        ssl_keyfile=tls.key if tls else None,
    )


def renew(config: uvicorn.Config, serving: Serving) -> None:
    """Let connections from now on have the certificate that is due, without a new start."""
    tls = serving.tls()
    if tls is not None and config.ssl is not None:
        config.ssl.load_cert_chain(tls.certificate, tls.key)


def _renew_in_time(config: uvicorn.Config, serving: Serving, ended: Event) -> None:
    while not ended.wait(LOOKED_AFTER_S):
        renew(config, serving)


def require_free(serving: Serving) -> None:
    """Nothing, where the page can listen.

    Raises:
        BadValue: where it cannot.
    """
    where = f"{serving.listen} port {serving.port}"
    try:
        family = socket.getaddrinfo(serving.listen, serving.port)[0][0]
        with socket.socket(family, socket.SOCK_STREAM) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind((serving.listen, serving.port))
    except OSError as error:
        message = f"the page cannot listen at {where}: {error.strerror or error}"
        way_out = "another program, or the page itself, may run there; choose another port"
        raise BadValue(message, way_out=way_out) from error


def is_served(serving: Serving) -> bool:
    """Whether something listens there already."""
    with suppress(BadValue):
        require_free(serving)
        return False
    return True
