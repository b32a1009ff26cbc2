"""What may be wrong in a crib, done to a copy of one at random."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from random import Random
from sqlite3 import IntegrityError

from crib.stock.engine.session import Session


def mutate(session: Session, random: Random) -> None:
    """Change some of everything that a rule looks at; one world in four stays as it is."""
    if random.random() < 0.25:
        return
    for change in random.sample(_CHANGES, random.randint(2, 6)):
        change(session, random)


def _some(session: Session, random: Random, table: str, share: float, where: str = "1") -> str:
    """The numbers of some rows, as SQL has them in a list."""
    ids = [row["id"] for row in session.rows(f"SELECT id FROM {table} WHERE {where}")]
    chosen = random.sample(ids, int(len(ids) * random.uniform(0.02, share)))
    return ", ".join(map(str, chosen)) or "0"


def _set(session: Session, table: str, ids: str, what: str) -> None:
    # What the tables themselves refuse cannot be in any crib: that change is left out.
    with suppress(IntegrityError):
        session.connection.execute(f"UPDATE {table} SET {what} WHERE id IN ({ids})")


def _conditions(session: Session, random: Random) -> None:
    state = random.choice(["inspect", "locked", "broken", "lost", "retired"])
    _set(session, "piece", _some(session, random, "piece", 0.5), f"condition = '{state}'")


def _places(session: Session, random: Random) -> None:
    is_other = "id NOT IN (SELECT id FROM place WHERE sort = 'station')"
    places = [row["id"] for row in session.rows(f"SELECT id FROM place WHERE {is_other}")]
    unmounted = "place_id NOT IN (SELECT id FROM place WHERE sort = 'station')"
    ids = _some(session, random, "piece", 0.5, unmounted)
    _set(session, "piece", ids, f"place_id = {random.choice(places)}")


def _dedicated(session: Session, random: Random) -> None:
    family = random.choice(["stainless", "aluminium", "mild"])
    _set(session, "piece", _some(session, random, "piece", 0.5), f"dedicated_to = '{family}'")


def _wear(session: Session, random: Random) -> None:
    _set(
        session,
        "piece",
        _some(session, random, "piece", 0.9),
        f"wear_milli = {random.choice([0, 3_000_000, 4_600_000, 7_000_000])}",
    )


def _lengths(session: Session, random: Random) -> None:
    _set(
        session,
        "piece",
        _some(session, random, "piece", 0.4),
        f"length_mm = {random.choice([20, 55])}",
    )


def _keys(session: Session, random: Random) -> None:
    angles = random.choice(["", "0", "90", "0 90", "45"])
    role = random.choice(["role = 'punch'", "role = 'die'", "shape <> 'round'"])
    where = f"shape <> 'round' AND {role}"
    _set(session, "kind", _some(session, random, "kind", 0.9, where), f"key_angles = '{angles}'")


def _seats(session: Session, random: Random) -> None:
    what = random.choice(
        [
            "die_diameter_mm = die_diameter_mm * 0.7",
            "die_diameter_mm = NULL",
            "body_diameter_mm = body_diameter_mm * 0.6",
            "body_diameter_mm = NULL",
            "keyed = 0",
        ]
    )
    _set(session, "seat", _some(session, random, "seat", 0.6), what)


def _seats_of_kinds(session: Session, random: Random) -> None:
    seat = random.choice([row["id"] for row in session.rows("SELECT id FROM seat LIMIT 3")])
    of_tool = "role IN ('punch', 'die')"
    _set(session, "kind", _some(session, random, "kind", 0.4, of_tool), f"seat_id = {seat}")


def _accepted(session: Session, random: Random) -> None:
    session.connection.execute(
        "DELETE FROM station_seat WHERE rowid % 3 = ?", (random.randint(0, 2),)
    )


def _ratings(session: Session, random: Random) -> None:
    what = random.choice(
        [
            "rated_force_n = NULL",
            f"rated_force_n = rated_force_n * {random.uniform(0.15, 1.2)}",
            f"derate = {random.uniform(0, 0.5)}",
        ]
    )
    _set(session, "station", _some(session, random, "station", 0.8), what)


def _adapter_ratings(session: Session, random: Random) -> None:
    what = random.choice(
        [
            "rated_force_n = NULL",
            "rated_force_n = rated_force_n * 0.3",
            "added_height_mm = NULL",
            "added_height_mm = 14",
            "added_height_mm = 25.4",
        ]
    )
    adapters = "role IN ('punch_adapter', 'die_adapter', 'attachment', 'set', 'brake_tool')"
    _set(session, "kind", _some(session, random, "kind", 0.9, adapters), what)


def _openings(session: Session, random: Random) -> None:
    size = random.choice(
        [
            *("throat_mm = NULL", "throat_mm = 120", "throat_mm = 60", "daylight_mm = 9"),
            *("daylight_mm = 120, stroke_mm = 26", "daylight_mm = 105, stroke_mm = 20"),
        ]
    )
    _set(session, "station", _some(session, random, "station", 0.8), size)


def _machines(session: Session, random: Random) -> None:
    one = random.choice([row["id"] for row in session.rows("SELECT id FROM machine")])
    session.connection.execute("UPDATE machine SET in_service = 0 WHERE id = ?", (one,))


def _lists(session: Session, random: Random) -> None:
    if random.random() < 0.5:
        ids = _some(session, random, "envelope_point", 0.6)
        session.connection.execute(f"DELETE FROM envelope_point WHERE id IN ({ids})")
    else:
        share = random.uniform(0.4, 1.0)
        ids = _some(session, random, "envelope_point", 0.9)
        _set(session, "envelope_point", ids, f"thickness_mm = thickness_mm * {share}")


def _depths(session: Session, random: Random) -> None:
    depth = random.choice(["NULL", "40", "80", "200"])
    ids = _some(session, random, "envelope_point", 0.9, "operation IN ('notch', 'corner', 'vee')")
    _set(session, "envelope_point", ids, f"depth_mm = {depth}")


def _dies(session: Session, random: Random) -> None:
    off_mm = random.choice([-1.2, -0.8, -0.3, 0.2, 0.6, 1.4, 3.0])
    die = "kind_id IN (SELECT id FROM kind WHERE role = 'die')"
    ids = _some(session, random, "piece", 0.5, die)
    size = "(SELECT width_mm FROM kind WHERE kind.id = piece.kind_id)"
    _set(session, "piece", ids, f"measured_width_mm = max({size} + {off_mm}, 1)")


def _punches(session: Session, random: Random) -> None:
    off_mm = random.choice([-0.6, -0.2, -0.04, 0.03, 0.4])
    punch = "kind_id IN (SELECT id FROM kind WHERE role = 'punch')"
    ids = _some(session, random, "piece", 0.4, punch)
    size = "(SELECT width_mm FROM kind WHERE kind.id = piece.kind_id)"
    _set(session, "piece", ids, f"measured_width_mm = max({size} + {off_mm}, 1)")


def _stress_limits(session: Session, random: Random) -> None:
    limit = random.choice([600, 1000, 1900])
    ids = _some(session, random, "kind", 0.6, "role = 'punch'")
    _set(session, "kind", ids, f"stress_limit_mpa = {limit}")


def _sets(session: Session, random: Random) -> None:
    what = random.choice(
        [
            "work_length_mm = work_length_mm * 0.5",
            "line_limit_n_mm = line_limit_n_mm * 0.4",
            "most_wall_mm = most_wall_mm * 0.8",
            "header_mm = header_mm + 3",
            "depth_mm = depth_mm * 0.6",
            "width_mm = width_mm * 0.9",
        ]
    )
    role = "role IN ('set', 'brake_tool')"
    _set(session, "kind", _some(session, random, "kind", 0.8, role), what)


def _corners(session: Session, random: Random) -> None:
    radius = random.choice(["NULL", "0.3", "1", "3.2"])
    ids = _some(session, random, "kind", 0.7, "role IN ('punch', 'die', 'set')")
    _set(session, "kind", ids, f"corner_radius_mm = {radius}")


_CHANGES: tuple[Callable[[Session, Random], None], ...] = (
    _conditions,
    _places,
    _dedicated,
    _wear,
    _lengths,
    _keys,
    _seats,
    _seats_of_kinds,
    _accepted,
    _ratings,
    _adapter_ratings,
    _openings,
    _machines,
    _lists,
    _depths,
    _dies,
    _punches,
    _stress_limits,
    _sets,
    _corners,
)
