"""First tables.

Revision: 0001, the first.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:

    op.create_table(
        "bundle",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("supplier", sa.String(length=80), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("price_cents", sa.Integer(), nullable=False),
        sa.Column("lead_days", sa.Integer(), nullable=True),
        sa.CheckConstraint("price_cents >= 0", name="ck_bundle_price_cents"),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("supplier", "name", name="uq_bundle"),
    )
    op.create_table(
        "job",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("due_on", sa.String(length=10), nullable=False),
        sa.Column("open", sa.Boolean(), nullable=False),
        sa.Column("note", sa.String(length=400), nullable=False),
        sa.CheckConstraint("length(trim(name)) > 0", name="ck_job_name"),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("name"),
    )
    op.create_table(
        "machine",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("plate", sa.String(length=200), nullable=False),
        sa.Column("in_service", sa.Boolean(), nullable=False),
        sa.CheckConstraint("length(trim(name)) > 0", name="ck_machine_name"),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("name"),
    )
    op.create_table(
        "person",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("role", sa.String(length=60), nullable=False),
        sa.CheckConstraint("length(trim(name)) > 0", name="ck_person_name"),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("name"),
    )
    op.create_table(
        "seat",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("head_diameter_mm", sa.Float(), nullable=True),
        sa.Column("head_thickness_mm", sa.Float(), nullable=True),
        sa.Column("body_diameter_mm", sa.Float(), nullable=True),
        sa.Column("nut_bore_mm", sa.Float(), nullable=True),
        sa.Column("punch_length_mm", sa.Float(), nullable=True),
        sa.Column("die_diameter_mm", sa.Float(), nullable=True),
        sa.Column("die_height_mm", sa.Float(), nullable=True),
        sa.Column("keyed", sa.Boolean(), nullable=False),
        sa.Column("note", sa.String(length=400), nullable=False),
        sa.CheckConstraint(
            "(head_diameter_mm IS NOT NULL AND body_diameter_mm IS NOT NULL) OR (die_diameter_mm IS NOT NULL AND die_height_mm IS NOT NULL)",
            name="ck_seat_in_numbers",
        ),
        sa.CheckConstraint("body_diameter_mm > 0", name="ck_seat_body_diameter_mm"),
        sa.CheckConstraint("die_diameter_mm > 0", name="ck_seat_die_diameter_mm"),
        sa.CheckConstraint("die_height_mm > 0", name="ck_seat_die_height_mm"),
        sa.CheckConstraint("head_diameter_mm > 0", name="ck_seat_head_diameter_mm"),
        sa.CheckConstraint("head_thickness_mm > 0", name="ck_seat_head_thickness_mm"),
        sa.CheckConstraint("length(trim(name)) > 0", name="ck_seat_name"),
        sa.CheckConstraint("nut_bore_mm > 0", name="ck_seat_nut_bore_mm"),
        sa.CheckConstraint("punch_length_mm > 0", name="ck_seat_punch_length_mm"),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("name"),
    )
    op.create_table(
        "hole_method",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job", sa.String(length=60), nullable=False),
        sa.Column("ask", sa.String(length=200), nullable=False),
        sa.Column("code", sa.String(length=40), nullable=False),
        sa.Column("ruling", sa.String(), nullable=False),
        sa.Column("chosen", sa.String(length=80), nullable=False),
        sa.Column("text", sa.String(length=400), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("first_at", sa.String(), nullable=False),
        sa.Column("last_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "ruling IN ('allowed', 'not allowed', 'undecided')", name="ck_hole_method_ruling"
        ),
        sa.CheckConstraint("length(trim(job)) > 0", name="ck_hole_method_job"),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("job", "ask", "code", name="uq_hole_method"),
    )
    op.create_table(
        "job_line",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("mark", sa.String(length=60), nullable=False),
        sa.Column("phrase", sa.String(length=200), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.CheckConstraint("quantity > 0", name="ck_job_line_quantity"),
        sa.ForeignKeyConstraint(
            ["job_id"],
            ["job.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("job_line", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_job_line_job_id"), ["job_id"], unique=False)

    op.create_table(
        "kind",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("shape", sa.String(), nullable=False),
        sa.Column("width_mm", sa.Float(), nullable=True),
        sa.Column("long_mm", sa.Float(), nullable=True),
        sa.Column("profile", sa.String(), nullable=False),
        sa.Column("depth_mm", sa.Float(), nullable=True),
        sa.Column("angle_deg", sa.Float(), nullable=True),
        sa.Column("header_mm", sa.Float(), nullable=True),
        sa.Column("least_wall_mm", sa.Float(), nullable=True),
        sa.Column("most_wall_mm", sa.Float(), nullable=True),
        sa.Column("work_length_mm", sa.Float(), nullable=True),
        sa.Column("line_limit_n_mm", sa.Float(), nullable=True),
        sa.Column("seat_id", sa.Integer(), nullable=True),
        sa.Column("presents_seat_id", sa.Integer(), nullable=True),
        sa.Column("key_angles", sa.String(length=40), nullable=False),
        sa.Column("face", sa.String(), nullable=False),
        sa.Column("bevel_mm", sa.Float(), nullable=False),
        sa.Column("length_mm", sa.Float(), nullable=True),
        sa.Column("least_length_mm", sa.Float(), nullable=True),
        sa.Column("regrind_mm", sa.Float(), nullable=True),
        sa.Column("edges", sa.Integer(), nullable=False),
        sa.Column("stress_limit_mpa", sa.Float(), nullable=True),
        sa.Column("interval_strokes", sa.Integer(), nullable=True),
        sa.Column("rated_force_n", sa.Float(), nullable=True),
        sa.Column("added_height_mm", sa.Float(), nullable=False),
        sa.Column("price_cents", sa.Integer(), nullable=True),
        sa.Column("lead_days", sa.Integer(), nullable=True),
        sa.Column("supplier", sa.String(length=80), nullable=False),
        sa.Column("least_count", sa.Integer(), nullable=False),
        sa.Column("note", sa.String(length=400), nullable=False),
        sa.CheckConstraint("face IN ('flat', 'bevel', 'roof')", name="ck_kind_face"),
        sa.CheckConstraint(
            "profile IN ('', 'notch', 'vee', 'corner', 'saddle', 'flat', 'plate', 'angle', 'round', 'square', 'tube', 'channel', 'vee die', 'picket')",
            name="ck_kind_profile",
        ),
        sa.CheckConstraint(
            "role IN ('punch', 'die', 'stripper', 'nut', 'punch_adapter', 'die_adapter', 'blade', 'set', 'brake_tool', 'attachment', 'other')",
            name="ck_kind_role",
        ),
        sa.CheckConstraint(
            "role NOT IN ('punch', 'die') OR (shape <> '' AND width_mm IS NOT NULL)",
            name="ck_kind_size",
        ),
        sa.CheckConstraint(
            "role NOT IN ('punch_adapter', 'die_adapter') OR (seat_id IS NOT NULL AND presents_seat_id IS NOT NULL)",
            name="ck_kind_adapter",
        ),
        sa.CheckConstraint(
            "shape IN ('', 'round', 'square', 'rectangle', 'hexagon', 'obround', 'special')",
            name="ck_kind_shape",
        ),
        sa.CheckConstraint("added_height_mm >= 0", name="ck_kind_added_height_mm"),
        sa.CheckConstraint("angle_deg > 0 AND angle_deg <= 180", name="ck_kind_angle_deg"),
        sa.CheckConstraint("bevel_mm >= 0", name="ck_kind_bevel_mm"),
        sa.CheckConstraint("depth_mm > 0", name="ck_kind_depth_mm"),
        sa.CheckConstraint("edges IN (1, 2, 4)", name="ck_kind_edges"),
        sa.CheckConstraint("header_mm > 0", name="ck_kind_header_mm"),
        sa.CheckConstraint("header_mm >= width_mm", name="ck_kind_header"),
        sa.CheckConstraint("interval_strokes > 0", name="ck_kind_interval_strokes"),
        sa.CheckConstraint("lead_days >= 0", name="ck_kind_lead_days"),
        sa.CheckConstraint("least_count >= 0", name="ck_kind_least_count"),
        sa.CheckConstraint("least_length_mm > 0", name="ck_kind_least_length_mm"),
        sa.CheckConstraint("least_wall_mm > 0", name="ck_kind_least_wall_mm"),
        sa.CheckConstraint("length(trim(name)) > 0", name="ck_kind_name"),
        sa.CheckConstraint("length_mm > 0", name="ck_kind_length_mm"),
        sa.CheckConstraint("line_limit_n_mm > 0", name="ck_kind_line_limit_n_mm"),
        sa.CheckConstraint(
            "long_mm IS NULL OR (width_mm IS NOT NULL AND long_mm >= width_mm)", name="ck_kind_long"
        ),
        sa.CheckConstraint("most_wall_mm > 0", name="ck_kind_most_wall_mm"),
        sa.CheckConstraint("most_wall_mm >= least_wall_mm", name="ck_kind_walls"),
        sa.CheckConstraint("price_cents >= 0", name="ck_kind_price_cents"),
        sa.CheckConstraint("rated_force_n > 0", name="ck_kind_rated_force_n"),
        sa.CheckConstraint("regrind_mm >= 0", name="ck_kind_regrind_mm"),
        sa.CheckConstraint("stress_limit_mpa > 0", name="ck_kind_stress_limit_mpa"),
        sa.CheckConstraint("width_mm > 0", name="ck_kind_width_mm"),
        sa.CheckConstraint("work_length_mm > 0", name="ck_kind_work_length_mm"),
        sa.ForeignKeyConstraint(
            ["presents_seat_id"],
            ["seat.id"],
        ),
        sa.ForeignKeyConstraint(
            ["seat_id"],
            ["seat.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("name"),
    )
    with op.batch_alter_table("kind", schema=None) as batch_op:
        batch_op.create_index("ix_kind_size", ["role", "shape", "width_mm"], unique=False)

    op.create_table(
        "sheet",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("lines", sa.Integer(), nullable=False),
        sa.Column("act", sa.String(length=32), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.CheckConstraint("lines >= 0", name="ck_sheet_lines"),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("digest"),
    )
    op.create_table(
        "shop_rule",
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("value", sa.String(length=200), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("changed_at", sa.String(), nullable=False),
        sa.Column("why", sa.String(length=400), nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
        ),
        sa.PrimaryKeyConstraint("key"),
    )
    op.create_table(
        "station",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("machine_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("does", sa.String(), nullable=False),
        sa.Column("rated_force_n", sa.Float(), nullable=True),
        sa.Column("derate", sa.Float(), nullable=False),
        sa.Column("throat_mm", sa.Float(), nullable=True),
        sa.Column("daylight_mm", sa.Float(), nullable=True),
        sa.Column("lever_mm", sa.Float(), nullable=True),
        sa.Column("note", sa.String(length=400), nullable=False),
        sa.CheckConstraint(
            "does IN ('punch', 'flat_shear', 'plate_shear', 'angle_shear', 'bar_shear', 'channel_shear', 'tube_shear', 'notch', 'corner_notch', 'vee_notch', 'saddle', 'brake', 'picket', 'attachment')",
            name="ck_station_does",
        ),
        sa.CheckConstraint("daylight_mm > 0", name="ck_station_daylight_mm"),
        sa.CheckConstraint("derate >= 0 AND derate < 1", name="ck_station_derate"),
        sa.CheckConstraint("lever_mm > 0", name="ck_station_lever_mm"),
        sa.CheckConstraint("rated_force_n > 0", name="ck_station_rated_force_n"),
        sa.CheckConstraint("throat_mm > 0", name="ck_station_throat_mm"),
        sa.ForeignKeyConstraint(
            ["machine_id"],
            ["machine.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("machine_id", "name", name="uq_station_name"),
    )
    op.create_table(
        "want",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("ask", sa.String(length=200), nullable=False),
        sa.Column("job", sa.String(length=60), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("times_asked", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("first_at", sa.String(), nullable=False),
        sa.Column("last_at", sa.String(), nullable=False),
        sa.Column("missing", sa.String(), nullable=False),
        sa.Column("done_instead", sa.String(length=200), nullable=False),
        sa.Column("status", sa.String(), nullable=False),
        sa.CheckConstraint("status IN ('open', 'served', 'dropped')", name="ck_want_status"),
        sa.CheckConstraint("quantity > 0", name="ck_want_quantity"),
        sa.CheckConstraint("times_asked > 0", name="ck_want_times_asked"),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("ask", "job", name="uq_want_ask_job"),
    )
    op.create_table(
        "bundle_line",
        sa.Column("bundle_id", sa.Integer(), nullable=False),
        sa.Column("kind_id", sa.Integer(), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.CheckConstraint("quantity > 0", name="ck_bundle_line_quantity"),
        sa.ForeignKeyConstraint(
            ["bundle_id"],
            ["bundle.id"],
        ),
        sa.ForeignKeyConstraint(
            ["kind_id"],
            ["kind.id"],
        ),
        sa.PrimaryKeyConstraint("bundle_id", "kind_id"),
    )
    op.create_table(
        "envelope_point",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("station_id", sa.Integer(), nullable=True),
        sa.Column("kind_id", sa.Integer(), nullable=True),
        sa.Column("operation", sa.String(length=60), nullable=False),
        sa.Column("cut_angle_deg", sa.Float(), nullable=False),
        sa.Column("size_mm", sa.Float(), nullable=False),
        sa.Column("thickness_mm", sa.Float(), nullable=False),
        sa.Column("material", sa.String(length=40), nullable=False),
        sa.CheckConstraint(
            "(station_id IS NULL) <> (kind_id IS NULL)", name="ck_envelope_point_owner"
        ),
        sa.CheckConstraint(
            "cut_angle_deg >= 0 AND cut_angle_deg < 90", name="ck_envelope_point_angle"
        ),
        sa.CheckConstraint("size_mm > 0", name="ck_envelope_point_size_mm"),
        sa.CheckConstraint("thickness_mm > 0", name="ck_envelope_point_thickness_mm"),
        sa.ForeignKeyConstraint(
            ["kind_id"],
            ["kind.id"],
        ),
        sa.ForeignKeyConstraint(
            ["station_id"],
            ["station.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("envelope_point", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_envelope_point_kind_id"), ["kind_id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_envelope_point_station_id"), ["station_id"], unique=False
        )

    op.create_table(
        "offer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind_id", sa.Integer(), nullable=False),
        sa.Column("supplier", sa.String(length=80), nullable=False),
        sa.Column("pack_size", sa.Integer(), nullable=False),
        sa.Column("from_quantity", sa.Integer(), nullable=False),
        sa.Column("price_cents", sa.Integer(), nullable=False),
        sa.Column("lead_days", sa.Integer(), nullable=True),
        sa.Column("quoted_on", sa.String(length=10), nullable=False),
        sa.CheckConstraint("from_quantity > 0", name="ck_offer_from_quantity"),
        sa.CheckConstraint("lead_days >= 0", name="ck_offer_lead_days"),
        sa.CheckConstraint("pack_size > 0", name="ck_offer_pack_size"),
        sa.CheckConstraint("price_cents >= 0", name="ck_offer_price_cents"),
        sa.ForeignKeyConstraint(
            ["kind_id"],
            ["kind.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("kind_id", "supplier", "from_quantity", name="uq_offer"),
    )
    op.create_table(
        "order_line",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind_id", sa.Integer(), nullable=True),
        sa.Column("text", sa.String(length=400), nullable=False),
        sa.Column("supplier", sa.String(length=80), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("received", sa.Integer(), nullable=False),
        sa.Column("price_cents", sa.Integer(), nullable=True),
        sa.Column("ordered_on", sa.String(length=10), nullable=False),
        sa.Column("needed_by", sa.String(length=10), nullable=False),
        sa.Column("open", sa.Boolean(), nullable=False),
        sa.CheckConstraint("price_cents >= 0", name="ck_order_line_price_cents"),
        sa.CheckConstraint("quantity > 0", name="ck_order_line_quantity"),
        sa.CheckConstraint("received <= quantity", name="ck_order_line_whole"),
        sa.CheckConstraint("received >= 0", name="ck_order_line_received"),
        sa.ForeignKeyConstraint(
            ["kind_id"],
            ["kind.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("order_line", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_order_line_kind_id"), ["kind_id"], unique=False)

    op.create_table(
        "place",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("sort", sa.String(), nullable=False),
        sa.Column("walk_order", sa.Integer(), nullable=False),
        sa.Column("station_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "(sort = 'station') = (station_id IS NOT NULL)", name="ck_place_station"
        ),
        sa.CheckConstraint(
            "sort IN ('drawer', 'station', 'grinder', 'person', 'outside')", name="ck_place_sort"
        ),
        sa.CheckConstraint("length(trim(name)) > 0", name="ck_place_name"),
        sa.ForeignKeyConstraint(
            ["station_id"],
            ["station.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("name"),
        sa.UniqueConstraint("station_id"),
    )
    op.create_table(
        "station_seat",
        sa.Column("station_id", sa.Integer(), nullable=False),
        sa.Column("seat_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["seat_id"],
            ["seat.id"],
        ),
        sa.ForeignKeyConstraint(
            ["station_id"],
            ["station.id"],
        ),
        sa.PrimaryKeyConstraint("station_id", "seat_id"),
    )
    op.create_table(
        "piece",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind_id", sa.Integer(), nullable=False),
        sa.Column("tag", sa.String(length=40), nullable=False),
        sa.Column("place_id", sa.Integer(), nullable=True),
        sa.Column("condition", sa.String(), nullable=False),
        sa.Column("measured_width_mm", sa.Float(), nullable=True),
        sa.Column("measured_long_mm", sa.Float(), nullable=True),
        sa.Column("length_mm", sa.Float(), nullable=True),
        sa.Column("edge", sa.Integer(), nullable=False),
        sa.Column("wear_milli", sa.Integer(), nullable=False),
        sa.Column("strokes_edge", sa.Integer(), nullable=False),
        sa.Column("strokes_total", sa.Integer(), nullable=False),
        sa.Column("grinds", sa.Integer(), nullable=False),
        sa.Column("ground_um", sa.Integer(), nullable=False),
        sa.Column("acknowledged", sa.String(), nullable=False),
        sa.Column("deferred", sa.Boolean(), nullable=False),
        sa.Column("changed_on", sa.String(), nullable=False),
        sa.Column("latest_on", sa.String(), nullable=False),
        sa.Column("dedicated_to", sa.String(length=40), nullable=False),
        sa.Column("bought_on", sa.String(length=10), nullable=False),
        sa.Column("price_cents", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(length=400), nullable=False),
        sa.CheckConstraint(
            "condition IN ('sound', 'inspect', 'locked', 'broken', 'lost', 'retired')",
            name="ck_piece_condition",
        ),
        sa.CheckConstraint("edge IN (1, 2, 3, 4)", name="ck_piece_edge"),
        sa.CheckConstraint("grinds >= 0", name="ck_piece_grinds"),
        sa.CheckConstraint("ground_um >= 0", name="ck_piece_ground_um"),
        sa.CheckConstraint("length(trim(tag)) > 0 AND tag = upper(tag)", name="ck_piece_tag"),
        sa.CheckConstraint("length_mm > 0", name="ck_piece_length_mm"),
        sa.CheckConstraint("measured_long_mm > 0", name="ck_piece_measured_long_mm"),
        sa.CheckConstraint("measured_width_mm > 0", name="ck_piece_measured_width_mm"),
        sa.CheckConstraint("strokes_edge >= 0", name="ck_piece_strokes_edge"),
        sa.CheckConstraint("strokes_total >= 0", name="ck_piece_strokes_total"),
        sa.CheckConstraint("wear_milli >= 0", name="ck_piece_wear_milli"),
        sa.ForeignKeyConstraint(
            ["kind_id"],
            ["kind.id"],
        ),
        sa.ForeignKeyConstraint(
            ["place_id"],
            ["place.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("tag"),
    )
    with op.batch_alter_table("piece", schema=None) as batch_op:
        batch_op.create_index("ix_piece_condition", ["condition"], unique=False)
        batch_op.create_index("ix_piece_kind", ["kind_id", "condition", "wear_milli"], unique=False)
        batch_op.create_index(
            "ix_piece_measured",
            ["measured_width_mm"],
            unique=False,
            sqlite_where=sa.text("measured_width_mm IS NOT NULL"),
        )
        batch_op.create_index(batch_op.f("ix_piece_place_id"), ["place_id"], unique=False)
        batch_op.create_index("ix_piece_wear", ["wear_milli"], unique=False)

    op.create_table(
        "entry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act", sa.String(length=32), nullable=False),
        sa.Column("action", sa.String(), nullable=False),
        sa.Column("piece_id", sa.Integer(), nullable=True),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("shift_on", sa.String(), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("weighted_milli", sa.Integer(), nullable=False),
        sa.Column("strokes_edge", sa.Integer(), nullable=False),
        sa.Column("severity", sa.Float(), nullable=True),
        sa.Column("estimate", sa.Boolean(), nullable=False),
        sa.Column("material", sa.String(length=40), nullable=False),
        sa.Column("thickness_mm", sa.Float(), nullable=True),
        sa.Column("job", sa.String(length=60), nullable=False),
        sa.Column("place_id", sa.Integer(), nullable=True),
        sa.Column("condition", sa.String(), nullable=True),
        sa.Column("length_mm", sa.Float(), nullable=True),
        sa.Column("ground_um", sa.Integer(), nullable=False),
        sa.Column("measured_width_mm", sa.Float(), nullable=True),
        sa.Column("measured_long_mm", sa.Float(), nullable=True),
        sa.Column("edge", sa.Integer(), nullable=True),
        sa.Column("acknowledged", sa.String(), nullable=True),
        sa.Column("found", sa.String(), nullable=True),
        sa.Column("note", sa.String(length=400), nullable=False),
        sa.Column("reverses_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "(action = 'reverse') = (reverses_id IS NOT NULL)", name="ck_entry_reverse"
        ),
        sa.CheckConstraint(
            "action <> 'strokes' OR (piece_id IS NOT NULL AND quantity > 0)",
            name="ck_entry_strokes",
        ),
        sa.CheckConstraint(
            "action IN ('add', 'strokes', 'grind', 'turn', 'move', 'break', 'count', 'correct', 'look', 'defer', 'retire', 'rule', 'reverse')",
            name="ck_entry_action",
        ),
        sa.CheckConstraint(
            "found IN ('sharp', 'right', 'overdue', 'chipped')", name="ck_entry_found"
        ),
        sa.CheckConstraint("ground_um >= 0", name="ck_entry_ground_um"),
        sa.CheckConstraint("length_mm > 0", name="ck_entry_length_mm"),
        sa.CheckConstraint("measured_long_mm > 0", name="ck_entry_measured_long_mm"),
        sa.CheckConstraint("measured_width_mm > 0", name="ck_entry_measured_width_mm"),
        sa.CheckConstraint("quantity >= 0", name="ck_entry_quantity"),
        sa.CheckConstraint("strokes_edge >= 0", name="ck_entry_strokes_edge"),
        sa.CheckConstraint("thickness_mm > 0", name="ck_entry_thickness_mm"),
        sa.CheckConstraint("weighted_milli >= 0", name="ck_entry_weighted_milli"),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
        ),
        sa.ForeignKeyConstraint(
            ["piece_id"],
            ["piece.id"],
        ),
        sa.ForeignKeyConstraint(
            ["place_id"],
            ["place.id"],
        ),
        sa.ForeignKeyConstraint(
            ["reverses_id"],
            ["entry.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("reverses_id"),
    )
    with op.batch_alter_table("entry", schema=None) as batch_op:
        batch_op.create_index("ix_entry_act", ["act"], unique=False)
        batch_op.create_index("ix_entry_person", ["person_id"], unique=False)
        batch_op.create_index("ix_entry_piece", ["piece_id", "made_at"], unique=False)


def downgrade() -> None:

    with op.batch_alter_table("entry", schema=None) as batch_op:
        batch_op.drop_index("ix_entry_piece")
        batch_op.drop_index("ix_entry_person")
        batch_op.drop_index("ix_entry_act")

    op.drop_table("entry")
    with op.batch_alter_table("piece", schema=None) as batch_op:
        batch_op.drop_index("ix_piece_wear")
        batch_op.drop_index(batch_op.f("ix_piece_place_id"))
        batch_op.drop_index(
            "ix_piece_measured", sqlite_where=sa.text("measured_width_mm IS NOT NULL")
        )
        batch_op.drop_index("ix_piece_kind")
        batch_op.drop_index("ix_piece_condition")

    op.drop_table("piece")
    op.drop_table("station_seat")
    op.drop_table("place")
    with op.batch_alter_table("order_line", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_order_line_kind_id"))

    op.drop_table("order_line")
    op.drop_table("offer")
    with op.batch_alter_table("envelope_point", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_envelope_point_station_id"))
        batch_op.drop_index(batch_op.f("ix_envelope_point_kind_id"))

    op.drop_table("envelope_point")
    op.drop_table("bundle_line")
    op.drop_table("want")
    op.drop_table("station")
    op.drop_table("shop_rule")
    op.drop_table("sheet")
    with op.batch_alter_table("kind", schema=None) as batch_op:
        batch_op.drop_index("ix_kind_size")

    op.drop_table("kind")
    with op.batch_alter_table("job_line", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_job_line_job_id"))

    op.drop_table("job_line")
    op.drop_table("hole_method")
    op.drop_table("seat")
    op.drop_table("person")
    op.drop_table("machine")
    op.drop_table("job")
    op.drop_table("bundle")
