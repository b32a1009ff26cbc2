"""One worked row for each sort of tool, and the seats and stations that they stand on.

They stand in a template below the row of the columns' own examples; their sizes are invented.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

Worked = Mapping[str, str]
"""The cells of a row by their columns; a column left out is empty."""

_IN_N: Worked = {"role": "set", "seat": "N"}

WORKED_ROWS: Mapping[str, Sequence[Worked]] = {
    "sites": ({"name": "South"},),
    "seats": (
        {
            "name": "B",
            "head diameter": "2.213 in",
            "body diameter": "1.831 in",
            "punch length": "2.75 in",
            "die diameter": "2.827 in",
            "die height": "1.125 in",
        },
        {
            "name": "N",
            "die diameter": "4.573 in",
            "die height": "1.619 in",
            "note": "the base that notch sets and attachments stand on",
        },
        {"name": "T", "die diameter": "3.217 in", "die height": "1.383 in"},
    ),
    "stations": tuple(
        {
            "machine": "Ironworker 1",
            "name": work,
            "does": work,
            "rated force": "40 US tons",
            "seats": seat,
        }
        for work, seat in (
            ("flat shear", ""),
            ("notch", "N"),
            ("vee notch", "N"),
            ("corner notch", "N"),
            ("saddle", "N"),
            ("tube shear", "N"),
            ("picket", "N"),
            ("brake", "N"),
        )
    ),
    "kinds": (
        {
            "name": "slot punch 13/16 x 1-1/8 in, seat A",
            "role": "punch",
            "shape": "obround",
            "size": "13/16 in",
            "long": "1-1/8 in",
            "seat": "A",
            "key": "0 90",
            "length": "2-3/4 in",
        },
        {
            "name": "round die 27/32 in, seat A",
            "role": "die",
            "shape": "round",
            "size": "27/32 in",
            "seat": "A",
            "length": "1-1/8 in",
            "price": "45.00",
        },
        {"name": "stripper, seat A", "role": "stripper", "seat": "A"},
        {"name": "coupling nut, seat A", "role": "nut", "seat": "A"},
        {
            "name": "punch adapter, B to A",
            "role": "punch adapter",
            "seat": "B",
            "presents seat": "A",
            "rated force": "40 US tons",
            "added height": "1/4 in",
        },
        {
            "name": "die adapter, B to A",
            "role": "die adapter",
            "seat": "B",
            "presents seat": "A",
            "rated force": "40 US tons",
            "added height": "1/4 in",
        },
        {
            "name": "saddle attachment, N to T",
            "role": "attachment",
            "seat": "N",
            "presents seat": "T",
            "rated force": "25 US tons",
            "added height": "2 in",
        },
        {
            "name": "flat shear blade",
            "role": "blade",
            "made for": "flat",
            "work length": "12 in",
            "length": "12 in",
            "edges": "4",
            "interval": "8000",
        },
        {
            **_IN_N,
            "name": "notch set 3 x 4 in",
            "made for": "notch",
            "size": "3 in",
            "depth": "4 in",
        },
        {
            **_IN_N,
            "name": "vee set 2 in, 90 degrees",
            "made for": "vee",
            "size": "2 in",
            "angle": "90",
        },
        {
            **_IN_N,
            "name": "corner set 3 x 3 in",
            "made for": "corner",
            "size": "3 in",
            "depth": "3 in",
        },
        {
            "name": "saddle set, 1-1/2 in pipe",
            "role": "set",
            "made for": "saddle",
            "size": "1.900 in",
            "header": "1.900 in",
            "most wall": "0.145 in",
            "seat": "T",
        },
        {
            **_IN_N,
            "name": "tube set, 1 in square",
            "shape": "square",
            "made for": "tube",
            "size": "1 in",
            "least wall": "0.060 in",
            "most wall": "0.120 in",
        },
        {
            **_IN_N,
            "name": "picket set, 3/4 in square bar",
            "shape": "square",
            "made for": "picket",
            "size": "3/4 in",
        },
        {
            "name": "vee die 2 in",
            "role": "brake tool",
            "made for": "vee die",
            "size": "2 in",
            "angle": "85",
            "work length": "12 in",
            "seat": "N",
        },
        {"name": "gauge stop", "role": "other", "note": "whatever no feature asks for"},
    ),
    "envelopes": (
        {
            "station": "Ironworker 1 / tube shear",
            "operation": "cut tube",
            "size": "2 in",
            "thickness": "0.120 in",
        },
    ),
}
