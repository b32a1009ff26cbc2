"""Where the asker of a session is, in a company of several sites."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class AtSite:
    """The asker's site, None for the whole company at once; and every site's name, by number."""

    id: int | None
    names: Mapping[int, str]

    @property
    def name(self) -> str:
        """The asker's site by its name, empty for the whole company."""
        return "" if self.id is None else self.names[self.id]

    def name_of(self, site_id: int | None) -> str:
        """A site's name; nothing for none, nor where there is but one."""
        return self.names[site_id] if self.several and site_id is not None else ""

    @property
    def told(self) -> str:
        """Where an answer is from, as its head says it; nothing where there is but one site."""
        return (self.name or f"all {len(self.names)} sites") if self.several else ""

    @property
    def several(self) -> bool:
        """Whether there is more than one site, without which nobody speaks of any."""
        return len(self.names) > 1
