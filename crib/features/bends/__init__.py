"""Bends over a vee at a brake: ``bend``.

``BendCase`` is worked out once, ``judge_bend`` judges by it; ``ideal_vee``, ``vee_order`` and
``bend_workarounds`` help where nothing serves.
"""
