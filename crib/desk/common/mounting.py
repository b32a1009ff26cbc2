"""What may stand together at a station. Every fault here is a hard stop: no flag lifts it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from crib.acts import Said, act, saying
from crib.desk.common.piece_wear import size_now_mm
from crib.desk.common.tool_cards import key_angles, tool_of
from crib.features.common.findings import Finding, cautions, refusals
from crib.features.common.key_checks import turning_findings
from crib.features.common.key_words import keyed_words
from crib.features.common.tooling import Adapter, Seat, Station, ToolingSet, closing_adapters
from crib.features.holes.stack_checks import judge_stack
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
from crib.stock.queries.stations import seats_by_name
from crib.trade.common.verdicts import exceeds
from crib.trade.metal.key_angles import keys_that_line_up
from crib.trade.shop.shop_rules import Rules
from crib.units import System, format_length

UNFIT = ("locked", "broken", "lost", "retired")
"""Conditions in which a piece must not stand at a station."""

ONE_EACH = ("punch", "die")
_NEVER = "never run this pair; measure both again if the stamp is doubted: "
SEATED = ("punch", "die", *ADAPTERS)
SIDES = {"punch": "punch", "die": "die", "stripper": "punch", "nut": "punch"}


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that must not be, and what to do about it; ``about`` says which without figures."""

    what: str
    way_out: Said = ""
    about: str = ""


@dataclass(frozen=True, slots=True)
class Mount:
    """A station with the pieces that stand, or would stand, at it, and the seats in numbers."""

    station: StationCard
    cards: tuple[PieceCard, ...]
    adapters: tuple[MountedAdapter, ...]
    rules: Rules
    seats: Mapping[str, Seat]

    def of_role(self, role: str) -> list[PieceCard]:
        """The pieces of one role."""
        return [card for card in self.cards if card.role == role]


def mount_at(
    session: Session, station_id: int, rules: Rules, cards: Sequence[PieceCard] | None = None
) -> Mount:
    """A station as it stands, or with other pieces at it."""
    chosen = mounted_at(session, station_id) if cards is None else cards
    return mount_of(session, station_card(session, station_id), rules, chosen)


def mount_of(
    session: Session, station: StationCard, rules: Rules, cards: Iterable[PieceCard]
) -> Mount:
    """A station with some pieces at it."""
    chosen = tuple(cards)
    adapters = tuple(adapters_among(session, chosen))
    return Mount(station, chosen, adapters, rules, seats_by_name(session))


def mounts_at(session: Session, station_ids: Iterable[int], rules: Rules) -> list[Mount]:
    """Stations as they stand, in the order in which they are named."""
    wanted = list(station_ids)
    with session.ahead(lambda: mounted_at_stations(session, wanted)):
        stations, mounted = station_cards(session, wanted), mounted_at_stations(session, wanted)
    adapters = adapters_among(session, (card for cards in mounted.values() for card in cards))
    seats = seats_by_name(session)
    return [
        Mount(
            stations[one],
            tuple(mounted[one]),
            tuple(adapter for adapter in adapters if adapter.tag in _tags(mounted[one])),
            rules,
            seats,
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
        *_turning(mount),
        *stack_faults(mount),
    ]


def stack_faults(mount: Mount) -> list[Fault]:
    """What keeps the pair that stands at a station from closing."""
    tags = " ".join(card.tag for role in ONE_EACH for card in mount.of_role(role))
    return [
        replace(_refused(finding), about=f"{finding.rule} {tags}")
        for finding in refusals(_stacked(mount))
    ]


def stack_cautions(mount: Mount) -> list[str]:
    """What is to be minded of the pair that stands at a station, though it closes."""
    return [finding.text for finding in cautions(_stacked(mount))]


def new_faults(before: Iterable[Fault], after: Iterable[Fault]) -> list[Fault]:
    """What came to be wrong; what was wrong before is not new for other figures."""
    known = {one.about or one.what for one in before}
    return [one for one in after if (one.about or one.what) not in known]


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
            fault = pair_fault(punch, die, mount.rules.system)
            if fault is not None:
                yield fault


def _turning(mount: Mount) -> Iterator[Fault]:
    """The shaped tools that could turn, in their own seat or with their adapter."""
    for role in ONE_EACH:
        for card in mount.of_role(role):
            yield from map(_refused, turning_findings(_tooling(mount, [card])))


def _stacked(mount: Mount) -> list[Finding]:
    """What is said of a punch and a die as they stand; of more than one of each, nothing."""
    cards = [card for role in ONE_EACH for card in mount.of_role(role)]
    return judge_stack(_tooling(mount, cards), mount.rules) if len(cards) == len(ONE_EACH) else []


def _tooling(mount: Mount, cards: Sequence[PieceCard]) -> ToolingSet:
    """Pieces at a station as the rules see them, in the adapters that stand there."""
    at = mount.station
    station = Station(
        at.id,
        at.machine,
        at.name,
        daylight_mm=at.daylight_mm,
        stroke_mm=at.stroke_mm,
        seats=at.seats,
    )
    tools = {card.role: tool_of(card, mount.seats, mount.rules) for card in cards}
    adapters = tuple(_adapter(one, mount.seats) for one in mount.adapters)
    under = {role: closing_adapters(tool, station, adapters) for role, tool in tools.items()}
    return ToolingSet(tools, station, {role: some[0] for role, some in under.items() if some})


def _adapter(one: MountedAdapter, seats: Mapping[str, Seat]) -> Adapter:
    return Adapter(
        one.tag,
        f"{one.for_role}_adapter",
        one.seat,
        one.presents,
        None,
        sits_in=seats.get(one.seat),
        added_height_mm=one.added_height_mm,
    )


def _refused(finding: Finding) -> Fault:
    way_out = "" if finding.remedy is None else saying("record it: ", finding.remedy)
    return Fault(finding.text, way_out)


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
    keys = key_angles(punch), key_angles(die)
    if punch.shape != "round" and not keys_that_line_up(punch.shape, *keys):
        what = (
            f"punch {punch.tag} is {keyed_words(punch.shape, keys[0])}, die {die.tag}"
            f" {keyed_words(die.shape, keys[1])}: the shaped pair would not line up"
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
