"""Where the page's certificate and its authority's lie; what makes them is loaded only to."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class TlsFiles:
    """Where the page's certificate and key lie, and the authority's certificate."""

    certificate: Path
    key: Path
    authority: Path
