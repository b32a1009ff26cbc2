"""Bends over a vee at a brake: ``bend``.

``bend_case`` is worked out once, ``bend_checks`` judges it.
"""
