"""What every kind of feature shares; no kind is named here.

An ``Ask`` is what a phrase wants, its ``Answers`` what a kind says of tooling in a ``Case``;
``read_plate`` and ``read_sizes`` read phrases. Rules that hold for every kind: ``piece_findings``,
``seat_findings``, ``force_finding``, ``envelope_finding``, ``bite_findings``.
"""
