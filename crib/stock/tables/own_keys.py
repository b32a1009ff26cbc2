"""What tells the rows of a table apart."""

from __future__ import annotations

OWN_KEYS: dict[str, tuple[str, ...]] = {
    "bundle_line": ("bundle_id", "kind_id"),
    "kept_key": ("key",),
    "pin": ("person_id",),
    "paper_line": ("paper_id", "line"),
    "paper_line_piece": ("paper_id", "line", "piece_id"),
    "planned_run_piece": ("job_id", "sequence", "piece_id"),
    "shop_rule": ("key",),
    "site_days": ("site_id", "to_site_id"),
    "site_role": ("person_id", "site_id"),
    "site_rule": ("site_id", "key"),
    "station_seat": ("station_id", "seat_id"),
}
"""Tables whose rows have no number of their own, and the columns that tell them apart."""


def key_of(record: str) -> tuple[str, ...]:
    """The columns that tell the rows of a table apart."""
    return OWN_KEYS.get(record, ("id",))
