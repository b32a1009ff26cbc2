"""Random asks over mutated cribs, each answer reckoned again by formulas of its own.

Nothing of ``crib.trade`` or ``crib.features`` is imported by what judges: the figures stand here a
second time, from ``world`` (rows as SQL gives them) and ``asks`` (what was asked, in numbers).
"""
