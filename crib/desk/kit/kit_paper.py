"""A job's kit list on paper."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from crib.acts import Wording, joined
from crib.desk.common.acting import today_of
from crib.desk.common.cautions import all_cautions, is_heavy
from crib.desk.kit.job_kit import Kit, KitMissing, KitPiece, show_kit
from crib.errors import Refused
from crib.features.common.key_words import key_ways
from crib.files.common.paper_sizes import usual_paper
from crib.files.common.whole_file import require_free
from crib.stock.engine.session import Session

MOST_USES = 3


@dataclass(frozen=True, slots=True)
class KitPaper:
    """Where a kit's list is written, if anywhere; the door's words for what its notes say."""

    path: Path | None = None
    worded: Wording = str

    def require_free(self) -> None:
        """Refuse a path where something is already, before anything is promised.

        Raises:
            Refused: when there is.
        """
        if self.path is not None:
            require_free(self.path)


NO_PAPER = KitPaper()


def draw_kit(
    session: Session, job: str, paper: KitPaper = NO_PAPER, *, now: datetime | None = None
) -> Kit:
    """The kit of a job as it stands, its list written where a paper is named.

    Raises:
        UnknownName: when no job is called so.
        Refused: when a file is there already, or there is nothing to put on the list.
    """
    return with_list(show_kit(session, job), paper, now)


def with_list(kit: Kit, paper: KitPaper, now: datetime | None = None) -> Kit:
    """The same kit, its list written as a PDF where a paper is named.

    Raises:
        Refused: when a file is there already, or there is nothing to put on the list.
    """
    if paper.path is None:
        return kit
    _write(kit, paper.path, paper.worded, today_of(now))
    done = f"kit list written: {paper.path}"
    return replace(kit, done=f"{kit.done}; {done}" if kit.done else done)


def _write(kit: Kit, path: Path, worded: Wording, today: date) -> None:
    """Write a kit list; on A4 in a metric crib, else on letter."""
    if not kit.pieces and not kit.missing:
        message = f"the kit of job {kit.job} is empty"
        raise Refused(message, way_out=joined("; ", kit.notes))
    require_free(path)
    # The library that makes PDFs is loaded only when one is made.
    from crib.files.paper.kit_list import KitLine, KitList, write_kit_list

    lines = tuple(
        KitLine(
            place=piece.home or piece.place,
            who=_who(piece),
            tag=piece.tag,
            what=what_words(piece),
            role=piece.role.replace("_", " "),
            for_what=for_words(piece),
            spare=piece.spare,
            state=_state(piece),
            edge=f"{piece.edge}, {100 * piece.used:.0f} % used" if piece.edge else "",
            note=_note(piece),
            at_hand="" if piece.home else "mounted" if piece.mounted else "out",
        )
        for piece in sorted(kit.pieces, key=_walked)
    )
    missing = tuple(missing_words(feature) for feature in kit.missing)
    notes = tuple(worded(note) for note in kit.notes)
    title, made_on = f"Kit list, job {kit.job}", today.isoformat()
    cautions = all_cautions(["hand_out", "heavy"] if _lifts(kit) else ["hand_out"])
    paper = KitList(title, kit.job, made_on, kit.due_on, lines, missing, notes, cautions)
    write_kit_list(paper, path, usual_paper(kit.system))


def _lifts(kit: Kit) -> bool:
    return any(is_heavy(piece.role) for piece in kit.pieces)


def what_words(piece: KitPiece) -> str:
    """The kind of a piece, and how it is keyed where its shape asks for it."""
    ways = key_ways(piece.shape, piece.key_angles)
    return f"{piece.kind}, {ways}" if ways else piece.kind


def for_words(piece: KitPiece) -> str:
    """Which work a piece is for, shortened where it is for a lot."""
    if piece.spare_for:
        return f"spare for {piece.spare_for}"
    said = [f"{use.mark}: {use.phrase}" if use.mark else use.phrase for use in piece.uses]
    said = list(dict.fromkeys(said))
    more = [f"and {len(said) - MOST_USES} more"] if len(said) > MOST_USES else []
    return "; ".join([*said[:MOST_USES], *more])


def missing_words(feature: KitMissing) -> str:
    """A feature that nothing is planned for, and what to ask."""
    mark = f"{feature.mark}: " if feature.mark else ""
    return f"{mark}{feature.quantity} x {feature.phrase}"


def _state(piece: KitPiece) -> str:
    if piece.mounted:
        return "mounted already"
    return piece.condition


def _note(piece: KitPiece) -> str:
    said = [piece.trouble] if piece.trouble else []
    if piece.instead:
        said.append(f"take {piece.instead} from {piece.instead_place or 'its place'} instead")
    return "; ".join(said)


def _walked(piece: KitPiece) -> tuple[bool, int, str, bool, str]:
    """The order in which a kit is taken: drawer by drawer, whoever has the pieces by now."""
    return (not piece.home, piece.home_order, piece.home or piece.place, piece.spare, piece.tag)


def _who(piece: KitPiece) -> str:
    """Who has a piece that is not in its drawer."""
    if piece.state == "out":
        return f"out with {piece.holder} until {piece.due_back}"
    return f"now {piece.place}" if piece.home and piece.place not in ("", piece.home) else ""
