"""The page's files as they are sent: scripts without what stands in them for readers."""

from __future__ import annotations

import hashlib
import os
from functools import cache
from pathlib import Path

from starlette.datastructures import Headers
from starlette.responses import Response
from starlette.staticfiles import NotModifiedResponse, StaticFiles
from starlette.types import Scope

STATIC = Path(__file__).parent.parent / "static"


@cache
def as_sent(file: Path) -> bytes:
    """A script without indentation and lines of comment; it may not break a text over lines."""
    lines = (line.strip() for line in file.read_text("utf-8").splitlines())
    return "".join(f"{line}\n" for line in lines if line and not line.startswith("//")).encode()


class PageFiles(StaticFiles):
    """The files of ``static``."""

    def file_response(
        self,
        full_path: str | os.PathLike[str],
        stat_result: os.stat_result,
        scope: Scope,
        status_code: int = 200,
    ) -> Response:
        """A file, or word that it is still the one that was sent."""
        file = Path(full_path)
        if file.suffix != ".js":
            return super().file_response(full_path, stat_result, scope, status_code)
        script = as_sent(file)
        headers = {"etag": f'"{hashlib.sha256(script).hexdigest()[:16]}"'}
        made = Response(script, status_code, headers, "text/javascript")
        if self.is_not_modified(made.headers, Headers(scope=scope)):
            return NotModifiedResponse(made.headers)
        return made
