"""Who touched their name last at each device, forgotten after some minutes.

A form that was drawn for somebody carries a voucher, so that its post is still theirs when it was
pressed later, or sent later from a page without network.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Callable
from dataclasses import dataclass, field
from time import monotonic

FORGOTTEN_AFTER_S = 300.0


@dataclass
class PeopleAtDevices:
    """The person at each device; ``secret`` signs their vouchers."""

    secret: bytes
    clock: Callable[[], float] = monotonic
    _seen: dict[str, tuple[str, float]] = field(default_factory=dict)

    def at_device(self, device: str, person: str) -> None:
        """Somebody is at a device from now on, or, without a name, nobody."""
        if person:
            self.touched(device, person)
        else:
            self.forget(device)

    def touched(self, device: str, person: str) -> None:
        """Somebody touched their name."""
        self._seen[device] = (person, self.clock())

    def forget(self, device: str) -> None:
        """Whoever was at a device has gone."""
        self._seen.pop(device, None)

    def at(self, device: str) -> str:
        """Who is at a device; asking keeps them there for another while."""
        person, last = self._seen.get(device, ("", 0.0))
        if not person or self.clock() - last > FORGOTTEN_AFTER_S:
            self.forget(device)
            return ""
        self._seen[device] = (person, self.clock())
        return person

    def voucher(self, device: str, person: str) -> str:
        """What a form carries for a person at a device."""
        if not person:
            return ""
        return f"{self._signed(device, person)}.{person}"

    def vouched(self, device: str, voucher: str) -> str:
        """Whose form it was; empty for a voucher that was not made here, or for another device."""
        signature, _dot, person = voucher.partition(".")
        if not hmac.compare_digest(signature.encode(), self._signed(device, person).encode()):
            return ""
        return person

    def _signed(self, device: str, person: str) -> str:
        text = f"{device}\n{person}".encode()
        return hmac.new(self.secret, text, hashlib.sha256).hexdigest()[:32]
