"""What every command shares: its options, the opened crib, the answer in two faces, the errors.

A command file holds one function ``command`` with at most a few lines: parse, one call of the
desk, ``answer``. Beside it stand the functions that draw the result.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from io import StringIO
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.exceptions import TyperException

from crib.cli.answered_from import answering_from, asked_by_all, crib_facts, crib_lines, site_lines
from crib.cli.keyed import Keyed, keyed_now
from crib.cli.wording import marked, spelled, worded
from crib.errors import (
    AskBack,
    BadInput,
    BadPhrase,
    BadRows,
    CribError,
    NotKnown,
    ServerAway,
)
from crib.stock.engine.engine import StoreError
from crib.stock.engine.folders import home_folder
from crib.stock.engine.place import has_password, without_passwords
from crib.unseen import escaped, one_line, unseen_in

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from crib.stock.engine.place import Place
    from crib.stock.engine.session import Session
    from crib.wording.plain import Plain

CribOption = Annotated[
    str, typer.Option("--crib", envvar="CRIB", metavar="FILE", help="The crib to use.")
]
JsonOption = Annotated[bool, typer.Option("--json", help="Answer with one JSON object.")]
ByOption = Annotated[
    str,
    typer.Option("--by", envvar="CRIB_BY", metavar="NAME", help="Who says so: a badge name."),
]
TagWords = Annotated[list[str], typer.Argument(metavar="TAG", help="The tag stamped on the piece.")]
"""A tag may be typed as two words: ``p 120``."""
OnOption = Annotated[
    str, typer.Option("--on", metavar="YYYY-MM-DD", help="The shift's date, when not today.")
]
OnlyAtOption = Annotated[
    str, typer.Option("--only-at", metavar="SITE", help="For that site of the company alone.")
]

# What part files may not say themselves, for every command that reads them.
ThicknessOption = Annotated[
    str, typer.Option("--thickness", metavar="SIZE", help="Where the file does not say it.")
]
MaterialOption = Annotated[
    str,
    typer.Option(
        "--material",
        metavar="NAME",
        help="Instead of the file's own; of several files, where one says none that is known.",
    ),
]
QuantityOption = Annotated[
    int | None, typer.Option("--quantity", metavar="N", help="Pieces of each part.")
]
SlotCentreOption = Annotated[
    str,
    typer.Option(
        "--slot-centre",
        "--slot-center",
        metavar="first_end|middle",
        help="What an NC slot's x and y are.",
    ),
]
TakeOption = Annotated[
    str,
    typer.Option(
        "--take",
        metavar="WHAT,...",
        help="Of a drawing: dashed, invisible, gaps, frame; views, or one-view of them; openings"
        " listed at one place: once, or each.",
    ),
]
ColumnsOption = Annotated[
    str,
    typer.Option(
        "--columns", metavar="HEADING=COLUMN,...", help="Of a list: what its headings mean."
    ),
]
SamePartOption = Annotated[
    str,
    typer.Option(
        "--same-part", metavar="once|each", help="A part in two files: is it one, or each its own?"
    ),
]

FOUND, WRONG, NOTHING_SERVES = 0, 2, 3
MOST_FAULTS_SHOWN = 40


def default_crib() -> Path:
    """Where the crib is when nobody says: the shop's own, else the demo crib if there is one."""
    shop = shop_crib()
    demo = home_folder() / "demo.crib"
    return demo if demo.is_file() and not shop.is_file() else shop


def shop_crib() -> Path:
    """Where the shop's own crib is when nobody says."""
    return home_folder() / "shop.crib"


def chosen_path(place: str) -> Path:
    """The crib file named by ``--crib``, or the default one; for what only a file can do."""
    from crib.stock.engine.place import crib_path

    return crib_path(place) if place else default_crib()


def chosen_place(place: str) -> Place:
    """The crib named by ``--crib``, a file or a server's, or the default one."""
    from crib.stock.engine.place import crib_place

    return crib_place(place) if place else default_crib()


@contextmanager
def opened(place: str) -> Iterator[Session]:
    """Open the crib for one command and let it go afterwards."""
    from crib.stock.engine.opening import open_crib

    call = keyed_now()
    if call is not None:
        yield call.stack.enter_context(_done_once(call, chosen_place(place)))
        return
    session = open_crib(chosen_place(place))
    try:
        with session.ahead(*asked_by_all(session)):
            answering_from(session)
            yield session
    finally:
        session.close()


@contextmanager
def _done_once(call: Keyed, path: Place) -> Iterator[Session]:
    """Open the crib for a command with a key: one transaction till it has answered, then tell."""
    import json

    from crib.desk.common.once import KeyedRequest, done_before, keep_done, kept_after_all
    from crib.stock.book.kept_keys import last_entry
    from crib.stock.engine.opening import open_crib

    session = open_crib(path)
    answering_from(session)
    asked = KeyedRequest(call.key, call.command, call.means, call.words, call.by)
    try:
        with session.writing():
            before = done_before(session, asked)
            if before is None:
                after = last_entry(session)
                with suppress(typer.Exit):
                    yield session
                if call.told is not None:
                    text = json.dumps(call.told, ensure_ascii=False, separators=(",", ":"))
                    keep_done(session, asked, text, after)
        told = call.told if before is None else json.loads(before.answer)
    except NotKnown as lost:
        before = kept_after_all(session, asked)
        if before is None and call.told is None:
            raise
        if before is None:
            raise ServerAway(lost.message, way_out="nothing was done; do it again") from lost
        told = json.loads(before.answer)
    finally:
        session.close()
    _tell(told, call.as_json)


def _tell(told: dict[str, Any] | None, as_json: bool) -> None:
    """Give what was answered in one of its two faces, and leave with its status."""
    if told is None:
        raise typer.Exit(FOUND)
    if as_json:
        sys.stdout.write(_json(told["answer"]) + "\n")
    else:
        sys.stdout.write(told["screen"])
    raise typer.Exit(told["status"])


def plain(value: Any) -> Any:
    """A result as JSON can carry it, its acts as they are typed."""
    return _plain().value(value)


def _plain() -> Plain:
    from crib.wording.plain import Plain

    return Plain(marked, spelled)


def answer(
    result: Any, draw: Callable[[Console, Any], None], as_json: bool, status: int = FOUND
) -> None:
    """Give a result in one of its two faces, and leave with a status when it is not 0.

    Either says which crib it is from.

    With a key both faces are kept, and told when what was done is on the disk.
    """
    call = keyed_now()
    if call is not None:
        screen = StringIO()
        _draw(console(screen), draw, result)
        call.told = {"status": status, "answer": _object(result), "screen": screen.getvalue()}
    elif as_json:
        sys.stdout.write(_json(_object(result)) + "\n")
    else:
        _draw(console(), draw, result)
    if status:
        raise typer.Exit(status)


def _json(said: Any, indent: int | None = 1) -> str:
    import json

    return escaped(json.dumps(said, ensure_ascii=False, indent=indent))


def _object(result: Any) -> Any:
    said = plain(result)
    return {**said, **crib_facts()} if isinstance(said, dict) else said


def _draw(screen: Console, draw: Callable[[Console, Any], None], result: Any) -> None:
    for line in site_lines():
        say(screen, line)
    draw(screen, result)
    for line in crib_lines():
        say(screen, line, then="  ")


def shown_back(phrase: str, understood: str) -> str:
    """A phrase as a screen heads its answer, marked where it is not what was typed."""
    return f"understood as: {phrase}" if understood else phrase


def console(file: StringIO | None = None) -> Console:
    """The screen: 80 columns where it is not a terminal, and no colour needed to read it."""
    from rich.console import Console

    from crib.cli.standing_out import SeenOnly, StandingOut, terminal

    held = terminal() if file is None else None
    # Without colours rich writes no escapes, and main lets none through.
    screen = Console(
        file=held or file,
        color_system="auto" if held else None,
        highlighter=StandingOut(),
        highlight=held is not None,
        emoji=False,
        markup=False,
        soft_wrap=False,
    )
    if held:
        screen.push_render_hook(SeenOnly())
    return screen


def say(screen: Console, text: str, first: str = "", then: str = "") -> None:
    """A text of any length, broken between words with its further lines indented."""
    from textwrap import wrap

    for line in wrap(
        *(text, screen.width),
        initial_indent=first,
        subsequent_indent=then,
        break_on_hyphens=False,
        break_long_words=False,
    ):
        screen.print(line, soft_wrap=True)


def say_cautions(screen: Console, lines: Sequence[str]) -> None:
    """The cautions of the work, under the answer; no option leaves them out."""
    if lines:
        screen.print()
    for line in lines:
        say(screen, line)


def table(*columns: str, right: Sequence[str] = (), title: str = "") -> Table:
    """A plain table that breaks no word; the columns named in ``right`` hold figures."""
    from crib.cli.shop_table import ShopTable

    return ShopTable(columns, right, title)


def as_typed(words: Sequence[str]) -> list[str]:
    """The words of a command, each on one line.

    Raises:
        BadInput: for one that holds what nobody sees.
    """
    lines = [one_line(word) for word in words]
    for line in lines:
        unseen = unseen_in(line)
        if unseen:
            message = f"{line!a:.60} has a character that is not seen, {unseen}"
            raise BadInput(message, way_out="type it again without; nothing was done")
    return lines


def guarded(call: Callable[[], Any], words: Sequence[str]) -> int:
    """Run a call; print any error as what, limit and way out; return the exit status."""
    as_json = "--json" in words
    answering_from(None)
    try:
        status = call()
    except CribError as error:
        return _say(error, as_json)
    except TyperException as error:
        way_out = f"`{_command_of(error, words)} --help` shows how" if words else ""
        return _say(BadInput(error.format_message(), way_out=way_out), as_json)
    except (typer.Abort, KeyboardInterrupt):
        print("\nstopped; what was not acknowledged was not written", file=sys.stderr)
        return 1
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except StoreError as error:
        return _say(
            CribError(
                f"the crib's file gave an error: {error}",
                way_out="run `crib check`; nothing of this was written",
            ),
            as_json,
        )
    except OSError as error:
        from crib.stock.engine.disk import told

        return _say(told(error), as_json)
    except Exception as error:
        if os.environ.get("CRIB_DEBUG"):
            raise
        text = f"this should not have happened: {type(error).__name__}: {error}"
        return _say(
            CribError(text, way_out="set CRIB_DEBUG=1 and run it again to see where"), as_json
        )
    return status if isinstance(status, int) else FOUND


def _command_of(error: TyperException, words: Sequence[str]) -> str:
    """The command or sub-command that could not read its words, as far as it was typed."""
    context = getattr(error, "ctx", None)
    typed = [word.lower() for word in words]
    names = context.command_path.split()[1:] if context else typed[:1]
    return " ".join(["crib", *(name for name in names if name in typed)])


def _say(error: CribError, as_json: bool) -> int:
    if as_json:
        said = [_json({"error": _plain().error(error)}, None)]
    else:
        said = _error_lines(error)
    for line in said:
        print(without_passwords(line), file=sys.stderr)
    return error.exit_status


def warn_of_password(words: Sequence[str]) -> None:
    """Say that a password in a typed address is seen by others, as long as the command runs."""
    if any(has_password(word) for word in words):
        said = "crib: a password that is typed in an address is seen by others on this machine"
        print(f"{said}\n  -> keep it in ~/.pgpass, or in PGPASSWORD", file=sys.stderr)


def _error_lines(error: CribError) -> list[str]:
    lines = [f"crib: {error.message}"]
    if isinstance(error, BadPhrase) and error.text:
        lines += [f"  {line}" for line in error.pointer().splitlines()]
    if isinstance(error, BadRows) and not error.is_told:
        lines += _first_of([worded(fault.said()) for fault in error.faults])
    if isinstance(error, AskBack):
        lines += _first_of(error.told)
    if error.way_out:
        lines.append(f"  -> {worded(error.way_out)}")
    return lines


def _first_of(told: Sequence[str]) -> list[str]:
    """What is listed below an error, as far as it fits a screen."""
    lines = [f"  {one}" for one in told[:MOST_FAULTS_SHOWN]]
    hidden = len(told) - MOST_FAULTS_SHOWN
    return [*lines, f"  ... and {hidden} more (--json lists them all)"] if hidden > 0 else lines
