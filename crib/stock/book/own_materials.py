"""The materials that the shop added to those of the tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from crib.stock.engine.engine import Row
from crib.stock.engine.session import Session
from crib.trade.metal.materials import Material

if TYPE_CHECKING:
    from crib.stock.book.ledger import Stamp

_COLUMNS = (
    "name, aliases, family, tensile_mpa, upper_tensile_mpa, yield_mpa, multiplier, min_hole_ratio,"
    " bend_radius_t, source, note"
)


def own_materials(session: Session) -> tuple[Material, ...]:
    """Every material of the shop's own, by its name."""
    rows = session.rows(f"SELECT {_COLUMNS} FROM material ORDER BY name")
    return tuple(material_of(row) for row in rows)


def rules_and_materials(session: Session) -> tuple[dict[str, str], tuple[Material, ...]]:
    """The values of the changed rules, and the shop's own materials: every answer reads both.

    The asker's site may have set a rule otherwise than the company; of the two it comes last.
    """
    nothing = ", NULL" * (_COLUMNS.count(",") - 2)
    sql = f"SELECT {_COLUMNS}, 0 AS nearer FROM material"
    sql += f" UNION ALL SELECT key, value, ''{nothing}, 0 FROM shop_rule"
    if session.at is not None:
        sql += f" UNION ALL SELECT key, value, ''{nothing}, 1 FROM site_rule WHERE site_id = ?"
    values = (session.at.id,) if session.at is not None else ()
    rows = session.rows(f"{sql} ORDER BY 1, nearer", values)
    changed = {row["name"]: row["aliases"] for row in rows if not row["family"]}
    return changed, tuple(material_of(row) for row in rows if row["family"])


def material_of(row: Row) -> Material:
    """A material as its row has it."""
    # Every answer asks for the shop's own, and most shops have none.
    from crib.trade.metal.own_materials import own_material

    return own_material(
        row["name"],
        row["family"],
        (row["tensile_mpa"], row["upper_tensile_mpa"]),
        row["source"],
        aliases=[alias for alias in row["aliases"].split("; ") if alias],
        yield_mpa=row["yield_mpa"],
        multiplier=row["multiplier"],
        min_hole_ratio=row["min_hole_ratio"],
        bend_radius_t=row["bend_radius_t"],
        note=row["note"],
    )


def keep_material(session: Session, stamp: Stamp, material: Material, why: str) -> None:
    """Add a material, or bring the one of that name to these figures, with who and why.

    Raises:
        RowRefused: for a figure that the table does not allow.
    """
    from crib.stock.book.ledger import NewEntry, write

    record = {
        "name": material.name,
        "aliases": "; ".join(material.aliases),
        "family": material.family,
        "tensile_mpa": material.tensile_mpa,
        "upper_tensile_mpa": material.upper_tensile_mpa,
        "yield_mpa": material.yield_mpa,
        "multiplier": material.multiplier,
        "min_hole_ratio": material.min_hole_ratio,
        "bend_radius_t": material.bend_radius_t,
        "source": material.source,
        "note": material.note,
    }
    signed = {"person_id": stamp.person_id, "changed_at": stamp.made_at, "why": why}
    then = ", ".join(f"{name} = excluded.{name}" for name in (*record, *signed) if name != "name")
    with session.writing():
        session.upsert("material", {**record, **signed}, ("name",), then)
        figures = f"{material.tensile_mpa:g} to {material.upper_tensile_mpa:g} MPa"
        note = f"material {material.name}: {figures}, x {material.multiplier:g}; {why}"
        write(session, stamp, [NewEntry("rule", note=note[:400])])


def changed_by(session: Session) -> dict[str, tuple[str, str, str]]:
    """Who entered each material of the shop's own, when and why, by its name."""
    rows = session.rows(
        "SELECT material.name, person.name, material.changed_at, material.why FROM material"
        " JOIN person ON person.id = material.person_id"
    )
    return {row[0]: (row[1], row[2], row[3]) for row in rows}
