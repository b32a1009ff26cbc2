"""Rows as each revision's tables took them: parents first, every column written out.

They are frozen: a row of revision 0001 stays as it was when 0001 was the newest. A revision that
brings a table adds a row of it here under its own name; a test asks for it.
"""

from __future__ import annotations

from typing import Any

TableRow = tuple[str, dict[str, Any]]

AT = "2026-03-02T14:00:00.000Z"
ON = "2026-03-02"

_SEAT_NUMBERS: dict[str, Any] = {
    "head_diameter_mm": 40.0,
    "head_thickness_mm": 6.0,
    "body_diameter_mm": 32.0,
    "nut_bore_mm": 33.0,
    "punch_length_mm": 70.0,
    "die_diameter_mm": 54.0,
    "die_height_mm": 29.0,
    "keyed": 1,
    "note": "",
}
_KIND: dict[str, Any] = {
    "shape": "round",
    "width_mm": 20.6375,
    "long_mm": None,
    "profile": "",
    "depth_mm": None,
    "angle_deg": 90.0,
    "header_mm": None,
    "least_wall_mm": 2.0,
    "most_wall_mm": 5.0,
    "work_length_mm": None,
    "line_limit_n_mm": None,
    "seat_id": 1,
    "presents_seat_id": None,
    "key_angles": "0 90",
    "face": "flat",
    "bevel_mm": 0.0,
    "length_mm": 70.0,
    "least_length_mm": 64.0,
    "regrind_mm": 6.0,
    "edges": 1,
    "stress_limit_mpa": 1800.0,
    "interval_strokes": 20000,
    "rated_force_n": None,
    "added_height_mm": 0.0,
    "price_cents": 4250,
    "lead_days": 5,
    "supplier": "the usual",
    "least_count": 1,
    "note": "",
}
_PIECE: dict[str, Any] = {
    "place_id": 2,
    "condition": "sound",
    "measured_width_mm": 20.61,
    "measured_long_mm": None,
    "length_mm": 69.5,
    "edge": 1,
    "wear_milli": 1500000,
    "strokes_edge": 1400,
    "strokes_total": 5200,
    "grinds": 1,
    "ground_um": 500,
    "acknowledged": "",
    "deferred": 0,
    "changed_on": ON,
    "latest_on": ON,
    "dedicated_to": "",
    "bought_on": "2025-01-15",
    "price_cents": 4250,
    "note": "a scratch on the head",
}
_ENTRY: dict[str, Any] = {
    "act": "a1",
    "action": "add",
    "piece_id": 1,
    "person_id": 1,
    "made_at": AT,
    "shift_on": ON,
    "quantity": 0,
    "weighted_milli": 0,
    "strokes_edge": 0,
    "severity": None,
    "estimate": 0,
    "material": "",
    "thickness_mm": None,
    "job": "",
    "place_id": None,
    "condition": None,
    "length_mm": None,
    "ground_um": 0,
    "measured_width_mm": None,
    "measured_long_mm": None,
    "edge": None,
    "acknowledged": None,
    "found": None,
    "note": "",
    "reverses_id": None,
}

_FIRST: list[TableRow] = [
    ("person", {"id": 1, "name": "window", "role": ""}),
    ("person", {"id": 2, "name": "nights", "role": "lead hand"}),
    ("machine", {"id": 1, "name": "Ironworker 1", "plate": "no. 12", "in_service": 1}),
    ("seat", {"id": 1, "name": "A", **_SEAT_NUMBERS}),
    ("seat", {"id": 2, "name": "B", **_SEAT_NUMBERS, "die_diameter_mm": 70.0}),
    (
        "station",
        {
            "id": 1,
            "machine_id": 1,
            "name": "punch",
            "does": "punch",
            "rated_force_n": 444822.0,
            "derate": 0.1,
            "throat_mm": 305.0,
            "daylight_mm": None,
            "lever_mm": None,
            "note": "",
        },
    ),
    ("station_seat", {"station_id": 1, "seat_id": 1}),
    (
        "place",
        {"id": 1, "name": "Ironworker 1 / punch", "sort": "station", "walk_order": 0}
        | {"station_id": 1},
    ),
    ("place", {"id": 2, "name": "A1", "sort": "drawer", "walk_order": 1, "station_id": None}),
    ("kind", {"id": 1, "name": "round punch 13/16", "role": "punch", **_KIND}),
    ("kind", {"id": 2, "name": "round die 27/32", "role": "die", **_KIND, "width_mm": 21.43125}),
    (
        "kind",
        {"id": 3, "name": "die holder A to B", "role": "die_adapter", **_KIND}
        | {"shape": "", "width_mm": None, "presents_seat_id": 2, "added_height_mm": 12.0},
    ),
    ("piece", {"id": 1, "kind_id": 1, "tag": "P-0137", **_PIECE}),
    ("piece", {"id": 2, "kind_id": 2, "tag": "D-0201", **_PIECE, "place_id": 1}),
    ("entry", {"id": 1, **_ENTRY, "condition": "sound", "place_id": 2, "length_mm": 70.0}),
    (
        "entry",
        {"id": 2, **_ENTRY, "act": "a2", "action": "strokes", "quantity": 400}
        | {"weighted_milli": 420000, "severity": 1.05, "material": "A36", "thickness_mm": 9.525},
    ),
    ("entry", {"id": 3, **_ENTRY, "act": "a3", "action": "reverse", "reverses_id": 2}),
    ("job", {"id": 1, "name": "J-11", "due_on": "2026-04-01", "open": 1, "note": ""}),
    (
        "job_line",
        {"id": 1, "job_id": 1, "mark": "B3", "phrase": "hole 13/16 thru 3/8", "quantity": 48},
    ),
    (
        "sheet",
        {"id": 1, "digest": "0" * 64, "name": "monday.csv", "lines": 12, "act": "a2"}
        | {"person_id": 2, "made_at": AT},
    ),
    (
        "want",
        {"id": 1, "ask": "slot 13/16 x 2 thru 3/8", "job": "J-11", "quantity": 4}
        | {"times_asked": 2, "person_id": 2, "first_at": AT, "last_at": AT, "missing": "die"}
        | {"done_instead": "drilled and sawn", "status": "open"},
    ),
    (
        "hole_method",
        {"id": 1, "job": "J-11", "ask": "hole 22mm thru 12mm S355", "code": "EN 1090-2"}
        | {"ruling": "allowed", "chosen": "punch full size", "text": "", "person_id": 2}
        | {"first_at": AT, "last_at": AT},
    ),
    (
        "shop_rule",
        {"key": "crib.currency", "value": "EUR", "person_id": 1, "changed_at": AT, "why": "ours"},
    ),
    (
        "envelope_point",
        {"id": 1, "station_id": 1, "kind_id": None, "operation": "hole", "cut_angle_deg": 0.0}
        | {"size_mm": 26.0, "thickness_mm": 12.7, "material": "A36"},
    ),
    (
        "offer",
        {"id": 1, "kind_id": 1, "supplier": "the usual", "pack_size": 1, "from_quantity": 5}
        | {"price_cents": 3900, "lead_days": 5, "quoted_on": "2026-01-10"},
    ),
    (
        "bundle",
        {"id": 1, "supplier": "the usual", "name": "starter", "price_cents": 9900, "lead_days": 7},
    ),
    ("bundle_line", {"bundle_id": 1, "kind_id": 2, "quantity": 3}),
    (
        "order_line",
        {"id": 1, "kind_id": 1, "text": "1 round punch 13/16", "supplier": "the usual"}
        | {"quantity": 2, "received": 1, "price_cents": 4250, "ordered_on": ON}
        | {"needed_by": "", "open": 1},
    ),
]


_SECOND: list[TableRow] = [
    (
        "purchase",
        {"id": 1, "number": "2026-0001", "supplier": "the usual", "made_on": ON, "needed_by": ""}
        | {"state": "open", "note": "", "person_id": 2, "made_at": AT},
    ),
    (
        "order_line",
        {"id": 2, "kind_id": 2, "text": "1 round die 27/32", "supplier": "the usual"}
        | {"quantity": 1, "received": 0, "price_cents": None, "ordered_on": ON}
        | {"needed_by": "", "open": 1, "purchase_id": 1, "job": "J-11"},
    ),
    (
        "receipt",
        {"id": 1, "order_line_id": 2, "quantity": -1, "received_on": ON, "lead_days": 5}
        | {"price_cents": 4100, "act": "a4", "note": "wrong seat", "person_id": 2, "made_at": AT},
    ),
    (
        "planned_run",
        {"id": 1, "job_id": 1, "sequence": 1, "station_id": 1, "piece_id": 1, "with_piece_id": 2}
        | {"mark": "B3", "phrase": "hole 13/16 thru 3/8 A36", "material": "A36"}
        | {"thickness_mm": 9.525, "quantity": 48, "strokes": 48, "weighted_milli": 48000}
        | {"logged": 12, "person_id": 2, "made_at": AT},
    ),
    (
        "hold",
        {"id": 1, "job_id": 1, "piece_id": 1, "spare": 0, "state": "out", "holder": "bench 2"}
        | {"out_on": ON, "due_back": ON, "back_on": "", "person_id": 2, "made_at": AT},
    ),
    ("paper", {"id": 1, "title": "monday", "person_id": 2, "made_at": AT}),
    (
        "paper_line",
        {"paper_id": 1, "line": 1, "piece_id": 1, "with_piece_id": 2, "material": "A36"}
        | {"thickness_mm": 9.525, "job": "J-11", "planned": 48},
    ),
]


_THIRD: list[TableRow] = [
    (
        "entry",
        {"id": 4, **_ENTRY, "act": "a5", "action": "strokes", "quantity": 12}
        | {"weighted_milli": 14400, "severity": 1.2, "factors": '{"material":1.2}'}
        | {"subject": "line 1-1"},
    ),
    (
        "order_line",
        {"id": 3, "kind_id": None, "text": "1 round punch 7/8", "supplier": "the usual"}
        | {"quantity": 1, "received": 0, "price_cents": None, "ordered_on": ON, "needed_by": ""}
        | {"open": 1, "purchase_id": None, "job": "", "specification": '{"role":"punch"}'},
    ),
]

_FOURTH: list[TableRow] = [
    (
        "supplier",
        {
            "id": 1,
            "name": "the usual",
            "address": "12 North Street, 99999 Anytown",
            "note": "net 30",
        },
    ),
    (
        "material",
        {"id": 1, "name": "X 400", "aliases": "XY400; Grade X", "family": "hsla"}
        | {"tensile_mpa": 500.0, "upper_tensile_mpa": 640.0, "yield_mpa": 400.0}
        | {"multiplier": 1.46, "min_hole_ratio": 1.15, "bend_radius_t": 2.0}
        | {"source": "EN 10149-2", "note": "", "person_id": 2, "changed_at": AT, "why": "J-11"},
    ),
    (
        "envelope_point",
        {"id": 2, "station_id": 1, "kind_id": None, "operation": "notch", "cut_angle_deg": 0.0}
        | {"size_mm": 100.0, "thickness_mm": 8.0, "material": "A36", "depth_mm": 75.0},
    ),
    ("planned_run_piece", {"job_id": 1, "sequence": 1, "piece_id": 2}),
    ("paper_line_piece", {"paper_id": 1, "line": 1, "piece_id": 2}),
    (
        "stroke_draft",
        {"id": 1, "content": "{}", "person_id": 2, "made_at": AT, "changed_at": AT},
    ),
    (
        "kept_key",
        {"key": "k-1", "command": "log", "request": "log P-0137 5", "digest": "d" * 64}
        | {"act": "a1", "answer": '{"status":0}', "person_id": 2, "made_at": AT},
    ),
    ("ledger_end", {"id": 2, "entry_id": 4, "seal": "0" * 32}),
    (
        "hole_method",
        {"id": 2, "job": "J-11", "ask": "hole 26mm thru 12mm S355", "code": "EN 1090-2"}
        | {"ruling": "not allowed", "chosen": "punch under size and ream", "text": ""}
        | {"person_id": 2, "first_at": AT, "last_at": AT}
        | {"finished_mm": 26.0, "punched_mm": 24.0, "tools": "P-24 D-25"},
    ),
]

_FIFTH: list[TableRow] = [
    ("person", {"id": 3, "name": "bench 5", "role": "apprentice", "may": "strokes lend"}),
    (
        "device",
        {"id": 1, "name": "Tablet 1", "sort": "browser", "may": "all", "token_hash": "0" * 64}
        | {"person_id": 2, "paired_at": AT, "revoked_at": ""},
    ),
    (
        "pairing_code",
        {"id": 1, "name": "Tablet 2", "may": "look", "code_hash": "scrypt", "tries_left": 5}
        | {"expires_s": 1772460000.0, "person_id": 2},
    ),
    (
        "kind",
        {"id": 4, "name": "square punch 1/2 r 1/8", "role": "punch", **_KIND}
        | {"shape": "square", "width_mm": 12.7, "corner_radius_mm": 3.175},
    ),
    ("pin", {"person_id": 1, "pin_hash": "scrypt", "wrong": 0, "wait_until_s": 0.0}),
]

_SIXTH: list[TableRow] = [
    ("site", {"id": 1, "name": "North", "address": "12 North Street, 99999 Anytown"}),
    ("site", {"id": 2, "name": "South", "address": ""}),
    ("site_days", {"site_id": 1, "to_site_id": 2, "days": 2}),
    ("site_role", {"person_id": 2, "site_id": 2, "role": "", "may": "strokes"}),
    (
        "site_rule",
        {"site_id": 2, "key": "log.oldest_days", "value": "14", "person_id": 2}
        | {"changed_at": AT, "why": "papers come daily"},
    ),
    (
        "place",
        {"id": 9, "name": "North > South", "sort": "way", "walk_order": 0, "station_id": None}
        | {"site_id": 1, "to_site_id": 2},
    ),
    (
        "want",
        {"id": 9, "ask": "hole 1 thru 1/4", "job": "", "quantity": 4, "times_asked": 1}
        | {"person_id": 2, "first_at": AT, "last_at": AT, "missing": "", "done_instead": ""}
        | {"status": "open", "site_id": 2},
    ),
    (
        "order_line",
        {"id": 4, "kind_id": 1, "text": "1 round punch 13/16", "supplier": "the usual"}
        | {"quantity": 1, "received": 0, "price_cents": None, "ordered_on": ON}
        | {"needed_by": "", "open": 1, "site_id": 2},
    ),
]

_SEVENTH: list[TableRow] = [
    (
        "kind",
        {"id": 7, "name": "round punch 15/16", "role": "punch", **_KIND}
        | {"width_mm": 23.8125, "learned_strokes": 4100, "learned_life": "410.25 4100.5"},
    ),
]

ROWS: dict[str, list[TableRow]] = {
    "0001": _FIRST,
    "0002": _SECOND,
    "0003": _THIRD,
    "0004": _FOURTH,
    "0005": _FIFTH,
    "0006": _SIXTH,
    "0007": _SEVENTH,
}
