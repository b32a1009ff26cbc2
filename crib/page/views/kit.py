"""A job's kit: the walk from drawer to drawer, handing it out, taking it back."""

from __future__ import annotations

from urllib.parse import quote

from crib.desk.kit.hand_out import HandOut, hand_out
from crib.desk.kit.hold import hold_kit, release_kit
from crib.desk.kit.job_kit import Kit, KitPiece, list_held, show_kit
from crib.desk.kit.take_back import TakeBack, take_back
from crib.page.frame.reply import Done, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.stock.book.people import person_names


def held(asked: PageRequest) -> Reply:
    """Everything that is promised or out, by whom it is for."""
    found = list_held(asked.session)
    return Shown("held", {"held": found}, found)


def kit(asked: PageRequest) -> Reply:
    """What a job takes, in walking order; what stands in the way or is missing."""
    found = show_kit(asked.session, asked["job"])
    values = {"kit": found, "walk": _walk(found), "names": person_names(asked.session)}
    return Shown("kit", {**values, "out": _out(found)}, found)


def hold(asked: PageRequest) -> Reply:
    """Promise the job its pieces."""
    done = hold_kit(asked.session, asked["job"], spares=not asked["no_spares"], by=asked.by)
    return _done(done.job, "kit.told.held", len(done.tags), done)


def release(asked: PageRequest) -> Reply:
    """Let go of what is only promised."""
    done = release_kit(asked.session, asked["job"])
    return _done(done.job, "kit.told.released", len(done.tags), done)


def out(asked: PageRequest) -> Reply:
    """Hand the kit out."""
    hand = HandOut(asked["to"] or asked.by, asked["until"], spares=not asked["no_spares"])
    done = hand_out(asked.session, asked["job"], hand, by=asked.by)
    return _done(done.job, "kit.told.out", len(done.tags), done)


def back(asked: PageRequest) -> Reply:
    """Take the kit back with its strokes, as planned where nobody says a count."""
    counts = tuple(
        f"{name.removeprefix('count:')}={text.strip()}"
        for name, text in asked.fields.items()
        if name.startswith("count:") and text.strip()
    )
    on = asked.pressed_on.isoformat()
    how = TakeBack(counts, asked["to"], not asked["no_strokes"], on, asked.confirmed)
    done = take_back(asked.session, asked["job"], how, by=asked.by)
    return _done(done.job, "kit.told.back", len(done.pieces), done)


def _done(job: str, told: str, count: int, result: object) -> Done:
    return Done(f"/kit/{quote(job, safe='')}", told, {"n": count}, result)


def _walk(found: Kit) -> dict[str, list[KitPiece]]:
    """What is to be fetched, drawer by drawer in walking order."""
    drawers: dict[str, list[KitPiece]] = {}
    for piece in found.pieces:
        if not piece.mounted and piece.state != "out":
            drawers.setdefault(piece.place, []).append(piece)
    return drawers


def _out(found: Kit) -> list[KitPiece]:
    return [piece for piece in found.pieces if piece.state == "out"]


_SPARES = FormField("no_spares", "flag")
# What stands behind a job's name goes first: a name may hold a slash.
VIEWS = (
    View("/kit", held),
    View("/kit/{job:path}/hold", hold, "POST", (_SPARES,), writes=True, needs_person=True),
    View("/kit/{job:path}/release", release, "POST", writes=True, needs_person=True),
    View(
        "/kit/{job:path}/out",
        out,
        "POST",
        (FormField("to"), FormField("until"), _SPARES),
        writes=True,
        needs_person=True,
    ),
    View(
        "/kit/{job:path}/back",
        back,
        "POST",
        (FormField("to"), FormField("no_strokes", "flag")),
        writes=True,
        needs_person=True,
    ),
    View("/kit/{job:path}", kit),
)
