"""What other sites have for an ask that the asker's own does not serve cleanly.

The station is the asker's; tools may come from any site. They come behind what is there, whole from
one site before pieced together, the nearest first.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from crib.acts import Act, act
from crib.desk.answer.rank import Candidate, ranked
from crib.desk.answer.search import Search


def beyond(search: Search) -> Search | None:
    """The same search of every site's tools; None where the own site serves or is the only one."""
    wide = search.shelf.beyond
    if wide is None or search.named or any(not pick.cautions for pick in search.candidates()):
        return None
    searched = Search(wide, search.answers, promised=search.promised)
    searched.stations, searched.few = search.stations, search.few
    return searched


def from_elsewhere(search: Search) -> list[Candidate]:
    """The clean answers that take a tool from another site, the nearest first."""
    searched = search.once(beyond)
    found = searched.candidates() if searched else []
    far = [pick for pick in found if not pick.cautions and any(tool.site for tool in pick.tools)]
    return ranked(far, search.case)


def to_send(pick: Candidate, here: str) -> Iterator[Act]:
    """What brings a pick's tools here: one act for each site that has any."""
    far = sorted((tool for tool in pick.tools if tool.site), key=lambda tool: tool.site)
    for site, tools in groupby(far, key=lambda tool: tool.site):
        yield act("send", tags=tuple(tool.tag for tool in tools), to=here, site=site)
