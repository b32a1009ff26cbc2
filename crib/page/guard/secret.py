"""What signs the vouchers of forms: kept beside the crib, so that they outlive the server."""

from __future__ import annotations

import os
import secrets
from contextlib import suppress
from pathlib import Path

_BYTES = 32


def kept_secret(crib: Path) -> bytes:
    """The secret of a crib's page, made once; another each time where it cannot be kept.

    It lies beside the crib, that of a crib on a server where its safe copies lie.
    """
    path = crib.with_name(f"{crib.name}-page-secret")
    made = secrets.token_bytes(_BYTES)
    with suppress(OSError):
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        number = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(number, "wb") as file:
            file.write(made)
    try:
        kept = path.read_bytes()
    except OSError:
        return made
    return kept if len(kept) == _BYTES else made
