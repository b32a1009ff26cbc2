"""Paper for the shop floor as PDF: head and foot on every page, page x of y, tables that break.

Black on white, since it is copied, faxed and read with grease on it; the same content always gives
the same bytes.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

from crib.errors import BadValue
from crib.files.common.paper_sizes import paper_size_mm
from crib.files.common.whole_file import write_whole
from crib.files.paper.picture_paper import BOLD, FONT, letters_width, printable, wrapped
from crib.files.paper.shop_paper_parts import points

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.platypus import Flowable

Body = Callable[[float], "list[Flowable]"]
"""Makes what is printed, anew each time, for a width in points."""

MARGIN = 36.0
TITLE, FACTS = 17.0, 10.5
FOOT_SIZES = (8.5, 8.0, 7.5, 7.0, 6.5)
MOST_FOOT_SHARE = 0.25
_LEADING = 1.2
_PAGE_ROOM = 90.0
_FACTS_GAP = "    "


@dataclass(frozen=True, slots=True)
class PaperFrame:
    """What stands on every page: a title, facts under it, sentences at the foot.

    ``strong`` are lines over the foot that must be found at once.
    """

    title: str
    facts: tuple[str, ...]
    foot: tuple[str, ...]
    paper: str = "Letter"
    lying: bool = False
    strong: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Page:
    """A frame as it was fitted to a page, in points."""

    width: float
    height: float
    title: list[str]
    facts: list[str]
    strong: list[str]
    foot: list[str]
    foot_size: float

    @property
    def head_height(self) -> float:
        return (len(self.title) * TITLE + len(self.facts) * FACTS) * _LEADING + 8

    @property
    def foot_height(self) -> float:
        return (len(self.strong) * FACTS + len(self.foot) * self.foot_size) * _LEADING + 8


def write_paper(frame: PaperFrame, body: Body, where: Path | BinaryIO) -> int:
    """Write a paper to a file, whole or not at all, or into an open one; returns its pages.

    Raises:
        BadValue: for a paper that is not known, or a head or foot that takes too much of a page.
    """
    data, pages = paper_pdf(frame, body)
    write_whole(data, where)
    return pages


def paper_pdf(frame: PaperFrame, body: Body) -> tuple[bytes, int]:
    """The PDF and how many pages it has: built once to count them, once to say so."""
    page = _fitted(frame)
    _data, pages = _built(frame, page, body, 0)
    return _built(frame, page, body, pages)


def _fitted(frame: PaperFrame) -> _Page:
    width, height = map(points, paper_size_mm(frame.paper, lying=frame.lying))
    room = width - 2 * MARGIN
    title = wrapped(printable(frame.title), TITLE, room - _PAGE_ROOM, BOLD)
    facts = [printable(fact) for fact in frame.facts if fact.strip()]
    strong = [line for one in frame.strong for line in wrapped(printable(one), FACTS, room, BOLD)]
    foot = printable(" • ".join(frame.foot))
    for size in FOOT_SIZES:
        page = _Page(
            *(width, height, title, _fact_lines(facts, room), strong),
            *(wrapped(foot, size, room, FONT) if foot else [], size),
        )
        if page.foot_height <= MOST_FOOT_SHARE * height:
            break
    if page.head_height + page.foot_height > 2 * MOST_FOOT_SHARE * height:
        share = (page.head_height + page.foot_height) / height
        most = f"{200 * MOST_FOOT_SHARE:.0f} %"
        message = f"head and foot take {100 * share:.0f} % of a page, must be <= {most}"
        raise BadValue(message, way_out="shorten the title, the facts or the cautions")
    return page


def _fact_lines(facts: list[str], room: float) -> list[str]:
    """Facts beside each other as far as a line goes; one that is longer is broken."""
    lines: list[str] = []
    for fact in facts:
        joined = f"{lines[-1]}{_FACTS_GAP}{fact}" if lines else fact
        if lines and letters_width(joined, FACTS, BOLD) <= room:
            lines[-1] = joined
        else:
            lines += wrapped(fact, FACTS, room, BOLD)
    return lines


def _built(frame: PaperFrame, page: _Page, body: Body, total: int) -> tuple[bytes, int]:
    from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

    file = BytesIO()
    width = page.width - 2 * MARGIN
    low = MARGIN + page.foot_height
    room = Frame(
        *(MARGIN, low, width, page.height - MARGIN - page.head_height - low),
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )

    def draw(canvas: Canvas, document: Any) -> None:
        _draw_head(canvas, page, f"page {document.page} of {total}")
        _draw_foot(canvas, page)

    document = BaseDocTemplate(
        *(file,),
        pagesize=(page.width, page.height),
        title=printable(frame.title),
        author="crib",
        invariant=1,
        pageTemplates=[PageTemplate(frames=[room], onPage=draw)],
    )
    document.build(body(width))
    return file.getvalue(), document.page


def _draw_head(canvas: Canvas, page: _Page, number: str) -> None:
    top = page.height - MARGIN
    canvas.setFont(BOLD, FACTS)
    canvas.drawRightString(page.width - MARGIN, top - TITLE, number)
    y = _draw_lines(canvas, top, page.title, BOLD, TITLE)
    y = _draw_lines(canvas, y, page.facts, BOLD, FACTS)
    canvas.setLineWidth(1.2)
    canvas.line(MARGIN, y - 2, page.width - MARGIN, y - 2)


def _draw_foot(canvas: Canvas, page: _Page) -> None:
    y = MARGIN + page.foot_height - 4
    if page.strong or page.foot:
        canvas.setLineWidth(0.6)
        canvas.line(MARGIN, y, page.width - MARGIN, y)
    y = _draw_lines(canvas, y, page.strong, BOLD, FACTS)
    _draw_lines(canvas, y, page.foot, FONT, page.foot_size)


def _draw_lines(canvas: Canvas, y: float, lines: list[str], font: str, size: float) -> float:
    """Lines from a height down; returns the height under the last one."""
    canvas.setFont(font, size)
    for line in lines:
        y -= size * _LEADING
        canvas.drawString(MARGIN, y + size * (_LEADING - 1), line)
    return y
