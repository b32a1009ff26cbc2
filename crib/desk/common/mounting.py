"""What may stand together at a station. Every fault here is a hard stop: no flag lifts it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from crib.acts import Said, act, saying
from crib.desk.common.piece_wear import size_now_mm
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard
from crib.stock.queries.places import (
    ADAPTERS,
    MountedAdapter,
    StationCard,
    adapters_among,
    mounted_at,
    mounted_at_stations,
    station_card,
    station_cards,
)
from crib.trade.common.verdicts import exceeds
from crib.units import System, format_length

UNFIT = ("locked", "broken", "lost", "retired")
"""Conditions in which a piece must not stand at a station."""

ONE_EACH = ("punch", "die")
_NEVER = "never run this pair; measure both again if the stamp is doubted: "
SEATED = ("punch", "die", *ADAPTERS)
SIDES = {"punch": "punch", "die": "die", "stripper": "punch", "nut": "punch"}


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that must not be, and what to do about it."""

    what: str
    way_out: Said = ""


@dataclass(frozen=True, slots=True)
class Mount:
    """A station with the pieces that stand, or would stand, at it."""

    station: StationCard
    cards: tuple[PieceCard, ...]
    adapters: tuple[MountedAdapter, ...]
    system: System

    def of_role(self, role: str) -> list[PieceCard]:
        """The pieces of one role."""
        return [card for card in self.cards if card.role == role]


def mount_at(
    session: Session, station_id: int, system: System, cards: Sequence[PieceCard] | None = None
) -> Mount:
    """A station as it stands, or with other pieces at it."""
    chosen = tuple(mounted_at(session, station_id) if cards is None else cards)
    adapters = tuple(adapters_among(session, chosen))
    return Mount(station_card(session, station_id), chosen, adapters, system)


def mounts_at(session: Session, station_ids: Iterable[int], system: System) -> list[Mount]:
    """Stations as they stand, in the order in which they are named."""
    wanted = list(station_ids)
    stations, mounted = station_cards(session, wanted), mounted_at_stations(session, wanted)
    adapters = adapters_among(session, (card for cards in mounted.values() for card in cards))
    return [
        Mount(
            stations[one],
            tuple(mounted[one]),
            tuple(adapter for adapter in adapters if adapter.tag in _tags(mounted[one])),
            system,
        )
        for one in wanted
    ]


def _tags(cards: Iterable[PieceCard]) -> set[str]:
    return {card.tag for card in cards}


def mounting_faults(mount: Mount) -> list[Fault]:
    """Everything that is wrong with what stands together at a station."""
    return [
        *_too_many(mount),
        *_wrong_work(mount),
        *_unseated(mount),
        *_bad_pair(mount),
    ]


def unfit_faults(mount: Mount) -> list[Fault]:
    """The pieces that must not be brought to a station; a piece may break while it stands there."""
    return [
        Fault(
            f"{card.tag} is {card.condition}; it must not be mounted at {mount.station.place}",
            saying("take another piece: ", act("stock"), " lists them"),
        )
        for card in mount.cards
        if card.condition in UNFIT
    ]


def _too_many(mount: Mount) -> Iterator[Fault]:
    for role in ONE_EACH:
        tags = [one.tag for one in mount.of_role(role)]
        if len(tags) > 1:
            yield Fault(
                f"{mount.station.place} takes one {role}, not {len(tags)}: {', '.join(tags)}",
                f"move the other {role} to its drawer first",
            )


def _wrong_work(mount: Mount) -> Iterator[Fault]:
    does = mount.station.does
    for card in mount.cards:
        blade_astray = card.role == "blade" and not does.endswith("shear")
        brake_astray = card.role == "brake_tool" and does != "brake"
        if blade_astray or brake_astray:
            what = f"{card.tag} is a {card.role.replace('_', ' ')}; {mount.station.place} does"
            yield Fault(f"{what} {does.replace('_', ' ')}", "choose another station")


def _unseated(mount: Mount) -> Iterator[Fault]:
    accepted = ", ".join(sorted(mount.station.seats)) or "no seat on record"
    for card in mount.cards:
        if card.seat is None:
            if card.role in SEATED:
                what = f"{card.tag} has no seat on record"
                kinds = act("import", file="kinds.csv")
                yield Fault(what, saying("say which seat its kind fits: ", kinds))
        elif not _sits(mount, card):
            yield Fault(
                f"{card.tag} is seat {card.seat}; {mount.station.place} accepts {accepted}",
                f"mount an adapter that presents seat {card.seat} there first,"
                " or choose another station",
            )


def _sits(mount: Mount, card: PieceCard) -> bool:
    """Whether the station accepts a piece's seat, or an adapter there presents it."""
    if card.seat in mount.station.seats:
        return True
    side = SIDES.get(card.role, "attachment")
    return card.role not in ADAPTERS and any(
        adapter.presents == card.seat
        and adapter.for_role == side
        and adapter.seat in mount.station.seats
        for adapter in mount.adapters
    )


def _bad_pair(mount: Mount) -> Iterator[Fault]:
    for punch in mount.of_role("punch"):
        for die in mount.of_role("die"):
            fault = pair_fault(punch, die, mount.system)
            if fault is not None:
                yield fault


def pair_fault(punch: PieceCard, die: PieceCard, system: System) -> Fault | None:
    """What keeps a punch and a die from running together: shape, size or key."""
    if punch.shape != die.shape:
        what = f"punch {punch.tag} is {punch.shape}, die {die.tag} is {die.shape}"
        return Fault(what, "mount a die of the punch's own shape")
    if not _bigger(punch, die):
        return Fault(
            f"die {die.tag} ({size_that_counts(die, system)}) is not bigger than"
            f" punch {punch.tag} ({size_that_counts(punch, system)})",
            saying(_NEVER, act("measure")),
        )
    if punch.shape != "round" and not (key_angles(punch) & key_angles(die)):
        what = (
            f"punch {punch.tag} keys at {_angles(punch)}, die {die.tag} at {_angles(die)}:"
            " the shaped pair would not line up"
        )
        return Fault(what, "mount a die with the punch's key angle")
    return None


def _bigger(punch: PieceCard, die: PieceCard) -> bool:
    """Whether the die is bigger on both sides; a size that is not known is not bigger."""
    punch_width_mm, punch_long_mm = size_now_mm(punch)
    die_width_mm, die_long_mm = size_now_mm(die)
    if punch_width_mm is None or die_width_mm is None:
        return False
    return exceeds(die_width_mm, punch_width_mm) and exceeds(
        die_long_mm or die_width_mm, punch_long_mm or punch_width_mm
    )


def key_angles(card: PieceCard) -> frozenset[int]:
    """The angles at which a kind is keyed, in degrees to the throat."""
    return frozenset(int(word) for word in re.findall(r"[0-9]+", card.key_angles))


def _angles(card: PieceCard) -> str:
    return "/".join(f"{angle}°" for angle in sorted(key_angles(card))) or "no angle (unkeyed)"


def size_that_counts(card: PieceCard, system: System) -> str:
    """The size that counts, in the crib's unit, with ``measured`` behind it when it was."""
    width_mm, long_mm = size_now_mm(card)
    if width_mm is None:
        return "no size"
    text = format_length(width_mm, system, digits=4)
    if long_mm is not None:
        short = format_length(width_mm, system, digits=4, with_unit=False)
        text = f"{short} x {format_length(long_mm, system, digits=4)}"
    measured = card.measured_width_mm is not None or card.measured_long_mm is not None
    return f"{text} measured" if measured else text
