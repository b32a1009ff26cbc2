"""What is kept of a secret: a hash from which nobody gets it back.

A short one (a PIN, a code of eight digits) is hashed with salt and at a price, by scrypt
(RFC 7914); a long random one needs neither.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets

_COST, _BLOCK, _LANES = 2**14, 8, 1
"""16 MB and some 50 ms for each try; *from memory* what interactive use takes."""


def dear_hash(short: str) -> str:
    """The hash of a short secret, with the salt it was made with."""
    salt = secrets.token_bytes(16)
    return f"scrypt${salt.hex()}${_scrypt(short, salt).hex()}"


def is_dear_hash_of(short: str, kept: str) -> bool:
    """Whether a short secret is the one whose hash was kept; False for a hash of another sort."""
    sort, *parts = kept.split("$")
    if sort != "scrypt" or len(parts) != len(("salt", "hash")):
        return False
    salt, found = (bytes.fromhex(part) for part in parts)
    return hmac.compare_digest(_scrypt(short, salt), found)


def new_token() -> str:
    """A long random secret."""
    return secrets.token_urlsafe(32)


def token_hash(token: str) -> str:
    """The hash of a long random secret."""
    return hashlib.sha256(token.encode()).hexdigest()


def is_token(token: str, kept: str) -> bool:
    """Whether a long secret is the one whose hash was kept; never for an empty hash."""
    return bool(kept) and hmac.compare_digest(token_hash(token), kept)


def _scrypt(short: str, salt: bytes) -> bytes:
    return hashlib.scrypt(short.encode(), salt=salt, n=_COST, r=_BLOCK, p=_LANES, dklen=32)
