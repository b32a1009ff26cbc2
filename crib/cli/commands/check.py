"""``crib check``: is everything in the crib sound?"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import FOUND, CribOption, JsonOption, answer, opened, say
from crib.cli.wording import worded
from crib.desk.book.check import CheckReport, check_crib, mend_crib

if TYPE_CHECKING:
    from rich.console import Console

NOT_SOUND = 1


def command(
    mend: Annotated[
        bool, typer.Option("--mend", help="Take wrong totals from the ledger, after a safe copy.")
    ] = False,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Is everything in the crib sound?

    Example: crib check
    """
    with opened(crib) as session:
        report = mend_crib(session) if mend else check_crib(session)
    answer(report, draw, as_json, FOUND if report.sound else NOT_SOUND)


def draw(screen: Console, report: CheckReport) -> None:
    """One line for each check, its faults under it."""
    for check in report.checks:
        screen.print(f"{'ok   ' if check.ok else 'FAULT'}  {check.name}")
        for fault in check.faults:
            screen.print(f"         {fault}")
        if check.count > len(check.faults):
            screen.print(f"         ... and {check.count - len(check.faults):,} more")
    for remark in report.remarks:
        screen.print(f"look   {worded(remark)}")
    if report.unreached:
        screen.print("no question finds:")
    for one in report.unreached:
        say(screen, f"{', '.join(one.what)}: {worded(one.reason)}", first="  ", then="      ")
    if report.copy:
        what = [f"{report.mended:,} pieces mended"] if report.mended else []
        what += [f"{report.relearned:,} kinds learned anew"] if report.relearned else []
        screen.print(f"{', '.join(what)}; the crib before that: {report.copy}")
    if report.sound:
        screen.print("everything is sound")
        return
    screen.print("not sound: `crib check --mend` takes totals from the ledger;")
    screen.print("`crib restore BACKUP` brings a safe copy back; `crib move` parts a bad pair")
