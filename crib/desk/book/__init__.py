"""The crib itself: made, checked, copied, set; what was done in it, and taken back.

``history`` and ``show`` tell, ``undo`` takes back, ``shop_rules`` sets.
"""
