"""The closed lists of words that the crib keeps and that its files are filled in with."""

from __future__ import annotations

ROLES = (
    "punch",
    "die",
    "stripper",
    "nut",
    "punch_adapter",
    "die_adapter",
    "blade",
    "set",
    "brake_tool",
    "attachment",
    "other",
)
CUTS_TOGETHER = ("blade", "set")
"""The roles of which several pieces may make one cut: a shear's blades, the halves of a set."""

SHAPES = ("round", "square", "rectangle", "hexagon", "obround", "special")
PROFILES = (
    "notch",
    "vee",
    "corner",
    "saddle",
    "flat",
    "plate",
    "angle",
    "round",
    "square",
    "tube",
    "channel",
    "vee die",
    "picket",
)
"""What a set, blade or brake tool is made for."""

MATERIAL_FAMILIES = (
    "mild",
    "hsla",
    "high_carbon",
    "quenched",
    "wear_plate",
    "stainless",
    "aluminium",
    "copper",
    "brass",
    "titanium",
)
"""The sorts of metal that a material of the shop's own is like."""

FACES = ("flat", "bevel", "roof")
STATION_WORK = (
    "punch",
    "flat_shear",
    "plate_shear",
    "angle_shear",
    "bar_shear",
    "channel_shear",
    "tube_shear",
    "notch",
    "corner_notch",
    "vee_notch",
    "saddle",
    "brake",
    "picket",
    "attachment",
)
PLACE_SORTS = ("drawer", "station", "grinder", "person", "outside", "way")
"""What a place is; a ``way`` is what pieces are on that left one site and have not come to another.
"""
CONDITIONS = ("sound", "inspect", "locked", "broken", "lost", "retired")
ACTIONS = (
    "add",
    "strokes",
    "grind",
    "turn",
    "move",
    "break",
    "count",
    "correct",
    "look",
    "defer",
    "retire",
    "rule",
    "reverse",
)
FOUND = ("sharp", "right", "overdue", "chipped")
"""How an edge was found when it was ground, turned or looked at."""

RULINGS = ("allowed", "not allowed", "undecided")
"""What a code can say of punching a hole to its full size."""

WANT_STATES = ("open", "served", "dropped")

PURCHASE_STATES = ("open", "closed", "cancelled")
HOLD_STATES = ("held", "out", "back", "released")
"""What a job does with a piece: promised, handed out, given back, or not needed after all."""

AWAY = ("grinder", "person", "outside", "way")
"""Sorts of places from which a piece must be fetched back before it can be used."""

DEVICE_SORTS = ("browser", "program")
DEVICE_RIGHTS = ("all", "look")
"""What a device at the page may do: everything, or only look."""

PAGE_ACTS = ("strokes", "lend", "broke", "edges", "shelf", "jobs", "buy", "undo")
"""The sorts of acts that a person may or may not do at the page."""
