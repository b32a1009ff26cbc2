"""What is true of the crib until somebody writes in it, read once for all who ask meanwhile."""

from __future__ import annotations

from functools import cached_property

from crib.desk.answer.lookup import KnownShop
from crib.desk.common.which_crib import WhichCrib, which_crib
from crib.stock.engine.session import Session


class AsItIs:
    """A crib as an asker at one site sees it, each part when it is wanted first."""

    def __init__(self, session: Session) -> None:
        self.session = session

    @cached_property
    def which(self) -> WhichCrib:
        """Which crib it is."""
        return which_crib(self.session)

    @cached_property
    def shop(self) -> KnownShop:
        """What every find reads alike."""
        return KnownShop(self.session)
