"""The newest revision of the crib's tables."""

from __future__ import annotations

HEAD_REVISION = "0007"
"""The newest revision in schema/versions; a test holds the two equal."""
