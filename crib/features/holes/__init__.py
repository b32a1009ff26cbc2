"""Holes that a punch and a die make: one file for each outline, ``punched`` is what they share.

``punched_kind`` makes a kind of an outline. ``judge_pair``, ``judge_stack``, ``ideal_tool`` and
``pair_workarounds`` go by a ``PairCase``, ``distance_findings`` by a ``DistanceCase``.
"""
