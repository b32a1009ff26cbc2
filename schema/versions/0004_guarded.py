"""What guards the hand and the ledger.

Revision: 0004, after 0003.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from hashlib import blake2b

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

_ADAPTERS = "role IN ('punch_adapter', 'die_adapter', 'attachment')"


def upgrade() -> None:
    for change, _back in _changes():
        change()


def downgrade() -> None:
    for _change, back in reversed(_changes()):
        back()


def _changes() -> tuple[tuple[Callable[[], None], Callable[[], None]], ...]:
    return (
        (_heights_may_be_unknown, _heights_are_always_known),
        (_equal_rectangles_are_squares, _squares_stay),
        (_lists_may_say_how_deep, _lists_say_no_depth),
        (_make_cutting_together, _drop_cutting_together),
        (_make_suppliers, _drop_suppliers),
        (_make_materials, _drop_materials),
        (_make_kept_keys, _drop_kept_keys),
        (_make_drafts, _drop_drafts),
        (_struck_wants, _wants_are_never_struck),
        (_words_that_rules_look_under, _words_stay),
        (_holes_say_how_they_are_punched, _holes_say_only_how_they_are_made),
        (_index_the_moves, _drop_the_index_of_moves),
        (_seal_the_ledger, _break_the_seals),  # the last step: it seals what the others leave
    )


def _heights_may_be_unknown() -> None:
    """A station's stroke, and an adapter's height: until now nobody's word was stored as 0."""
    with op.batch_alter_table("station", recreate="always") as batch:
        batch.add_column(sa.Column("stroke_mm", sa.Float(), nullable=True))
        batch.create_check_constraint("ck_station_stroke_mm", "stroke_mm > 0")
    with op.batch_alter_table("kind", recreate="always") as batch:
        batch.alter_column("added_height_mm", existing_type=sa.Float(), nullable=True)
    op.execute(f"UPDATE kind SET added_height_mm = NULL WHERE added_height_mm = 0 AND {_ADAPTERS}")


_PUNCHED = ("finished_mm", "punched_mm")


def _holes_say_how_they_are_punched() -> None:
    """The size of a hole and of the punch, and the tools; older records name none of them."""
    with op.batch_alter_table("hole_method", recreate="always") as batch:
        for name in _PUNCHED:
            batch.add_column(sa.Column(name, sa.Float(), nullable=True))
            batch.create_check_constraint(f"ck_hole_method_{name}", f"{name} > 0")
        batch.add_column(
            sa.Column("tools", sa.Text(), server_default=sa.text("''"), nullable=False)
        )


def _holes_say_only_how_they_are_made() -> None:
    with op.batch_alter_table("hole_method", recreate="always") as batch:
        batch.drop_column("tools")
        for name in _PUNCHED:
            batch.drop_constraint(f"ck_hole_method_{name}", type_="check")
            batch.drop_column(name)


def _heights_are_always_known() -> None:
    op.execute("UPDATE kind SET added_height_mm = 0 WHERE added_height_mm IS NULL")
    with op.batch_alter_table("kind", recreate="always") as batch:
        batch.alter_column("added_height_mm", existing_type=sa.Float(), nullable=False)
    with op.batch_alter_table("station", recreate="always") as batch:
        batch.drop_constraint("ck_station_stroke_mm", type_="check")
        batch.drop_column("stroke_mm")


def _equal_rectangles_are_squares() -> None:
    """No question for a square found a tool that was called a rectangle."""
    op.execute(
        "UPDATE kind SET shape = 'square', long_mm = NULL WHERE shape = 'rectangle'"
        " AND role IN ('punch', 'die') AND long_mm = width_mm"
    )


def _squares_stay() -> None:
    """A square is none the less one in the revision before."""


def _lists_may_say_how_deep() -> None:
    """How deep a notch or corner of a list goes into the plate; not said in the rows before."""
    with op.batch_alter_table("envelope_point", recreate="always") as batch:
        batch.add_column(sa.Column("depth_mm", sa.Float(), nullable=True))
        batch.create_check_constraint("ck_envelope_point_depth_mm", "depth_mm > 0")


def _lists_say_no_depth() -> None:
    with op.batch_alter_table("envelope_point", recreate="always") as batch:
        batch.drop_constraint("ck_envelope_point_depth_mm", type_="check")
        batch.drop_column("depth_mm")


def _make_cutting_together() -> None:
    """The pieces that cut with the one of a planned run or a printed line, one row for each."""
    op.create_table(
        "planned_run_piece",
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.Column("piece_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("sequence > 0", name="ck_planned_run_piece_sequence"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"]),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"]),
        sa.PrimaryKeyConstraint("job_id", "sequence", "piece_id"),
    )
    op.create_index("ix_planned_run_piece_piece", "planned_run_piece", ["piece_id"])
    op.create_table(
        "paper_line_piece",
        sa.Column("paper_id", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("piece_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("line > 0", name="ck_paper_line_piece_line"),
        sa.ForeignKeyConstraint(["paper_id"], ["paper.id"]),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"]),
        sa.PrimaryKeyConstraint("paper_id", "line", "piece_id"),
    )


def _drop_cutting_together() -> None:
    op.drop_table("paper_line_piece")
    op.drop_table("planned_run_piece")


def _make_suppliers() -> None:
    op.create_table(
        "supplier",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("address", sa.String(length=200), nullable=False),
        sa.Column("note", sa.String(length=400), nullable=False),
        sa.CheckConstraint("length(trim(name)) > 0", name="ck_supplier_name"),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("name"),
    )


def _drop_suppliers() -> None:
    op.drop_table("supplier")


def _make_materials() -> None:
    """Materials of the shop's own, beside those of the tables."""
    families = (
        "'mild', 'hsla', 'high_carbon', 'quenched', 'wear_plate', 'stainless', 'aluminium',"
        " 'copper', 'brass', 'titanium'"
    )
    op.create_table(
        "material",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=40), nullable=False),
        sa.Column("aliases", sa.String(length=200), nullable=False),
        sa.Column("family", sa.String(), nullable=False),
        sa.Column("tensile_mpa", sa.Float(), nullable=False),
        sa.Column("upper_tensile_mpa", sa.Float(), nullable=False),
        sa.Column("yield_mpa", sa.Float(), nullable=True),
        sa.Column("multiplier", sa.Float(), nullable=False),
        sa.Column("min_hole_ratio", sa.Float(), nullable=True),
        sa.Column("bend_radius_t", sa.Float(), nullable=True),
        sa.Column("source", sa.String(length=200), nullable=False),
        sa.Column("note", sa.String(length=400), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("changed_at", sa.String(), nullable=False),
        sa.Column("why", sa.String(length=400), nullable=False),
        sa.CheckConstraint("length(trim(name)) > 0", name="ck_material_name"),
        sa.CheckConstraint("upper_tensile_mpa >= tensile_mpa", name="ck_material_upper"),
        sa.CheckConstraint("length(trim(source)) > 0", name="ck_material_source"),
        sa.CheckConstraint("tensile_mpa > 0", name="ck_material_tensile_mpa"),
        sa.CheckConstraint("yield_mpa > 0", name="ck_material_yield_mpa"),
        sa.CheckConstraint("multiplier > 0", name="ck_material_multiplier"),
        sa.CheckConstraint("min_hole_ratio > 0", name="ck_material_min_hole_ratio"),
        sa.CheckConstraint("bend_radius_t >= 0", name="ck_material_bend_radius_t"),
        sa.CheckConstraint(f"family IN ({families})", name="ck_material_family"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("name"),
    )


def _drop_materials() -> None:
    op.drop_table("material")


def _make_kept_keys() -> None:
    """The requests that were made with a key, each with what was answered."""
    op.create_table(
        "kept_key",
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("command", sa.String(length=40), nullable=False),
        sa.Column("request", sa.String(length=400), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("act", sa.String(length=32), nullable=False),
        sa.Column("answer", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.CheckConstraint("length(trim(key)) > 0", name="ck_kept_key_key"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"]),
        sa.PrimaryKeyConstraint("key"),
    )


def _drop_kept_keys() -> None:
    op.drop_table("kept_key")


def _make_drafts() -> None:
    """What was typed of a shift and is not counted yet."""
    op.create_table(
        "stroke_draft",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("changed_at", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_stroke_draft_person", "stroke_draft", ["person_id"])


def _drop_drafts() -> None:
    op.drop_table("stroke_draft")


_STRUCK = ("struck_by", "struck_at", "struck_why")
"""Who struck a want out, when and why; kept when it is asked for again."""


def _struck_wants() -> None:
    for name in _STRUCK:
        op.add_column(
            "want", sa.Column(name, sa.Text(), server_default=sa.text("''"), nullable=False)
        )


def _wants_are_never_struck() -> None:
    for name in reversed(_STRUCK):
        op.drop_column("want", name)


_CUTS = ("flat", "plate", "angle", "round", "square", "channel", "tube")
_LISTS = (*(f"cut {one}" for one in _CUTS), "notch", "vee", "corner", "bend", "point")
_KEPT_FOR = {
    "stainless": ("304", "304l", "316", "316l", "ss", "stainless steel"),
    "aluminium": ("aluminum", "alu", "6061", "5052"),
    "mild": ("mild steel", "a36"),
    "wear_plate": ("wear plate",),
}
_FAMILIES = (
    *("mild", "hsla", "stainless", "aluminium", "quenched", "wear_plate", "copper", "brass"),
    *("high_carbon", "titanium"),
)


def _words_that_rules_look_under() -> None:
    """What was typed in other words was never looked under: lists, and what pieces are kept for."""
    for one in _LISTS:
        _bring("envelope_point", "operation", one, (one,))
    for cut in _CUTS:
        _bring("envelope_point", "operation", f"cut {cut}", (cut, f"{cut}s", f"{cut} bar"))
    for family in _FAMILIES:
        _bring("piece", "dedicated_to", family, (family, *_KEPT_FOR.get(family, ())))


def _bring(table: str, column: str, meant: str, typed: tuple[str, ...]) -> None:
    some = ", ".join(f"'{one}'" for one in typed)
    op.execute(
        f"UPDATE {table} SET {column} = '{meant}'"
        f" WHERE {column} <> '{meant}' AND lower(trim({column})) IN ({some})"
    )


def _words_stay() -> None:
    """What was meant is what was typed: there is nothing to take back."""


_SEALED = (
    "id, act, person_id, made_at, shift_on, action, piece_id, quantity, weighted_milli,"
    " strokes_edge, severity, estimate, material, thickness_mm, job, place_id, condition,"
    " length_mm, ground_um, measured_width_mm, measured_long_mm, edge, acknowledged, found, note,"
    " reverses_id, factors, subject"
)
"""What an entry of an older crib says, in the order of its seal."""


def _seal_the_ledger() -> None:
    """Give each entry its seal, and keep where the ledger ends."""
    op.add_column(
        "entry", sa.Column("seal", sa.Text(), server_default=sa.text("''"), nullable=False)
    )
    end = op.create_table(
        "ledger_end",
        sa.Column("id", sa.Integer(), primary_key=True, nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("seal", sa.String(32), nullable=False),
        sa.CheckConstraint("entry_id >= 0", name="ck_ledger_end_entry_id"),
    )
    connection = op.get_bind()
    entries = connection.execute(sa.text(f"SELECT {_SEALED} FROM entry ORDER BY id")).all()
    number, seal, seals = 0, "", []
    for entry in entries:
        said = json.dumps([*entry], separators=(",", ":"))
        number, seal = entry.id, blake2b(f"{seal} {said}".encode(), digest_size=16).hexdigest()
        seals.append({"number": number, "seal": seal})
    if seals:
        connection.execute(sa.text("UPDATE entry SET seal = :seal WHERE id = :number"), seals)
    connection.execute(end.insert(), [{"id": 1, "entry_id": number, "seal": seal}])


def _break_the_seals() -> None:
    op.drop_table("ledger_end")
    op.drop_column("entry", "seal")


def _index_the_moves() -> None:
    """Where a piece was put is found without reading all that it did."""
    op.create_index(
        "ix_entry_placed",
        "entry",
        ["piece_id", "shift_on", "id"],
        sqlite_where=sa.text("place_id IS NOT NULL"),
        postgresql_where=sa.text("place_id IS NOT NULL"),
    )


def _drop_the_index_of_moves() -> None:
    op.drop_index("ix_entry_placed", "entry")
