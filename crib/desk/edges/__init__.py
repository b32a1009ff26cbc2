"""The care of edges: what is due and when, and what was ground, turned, looked at or broke.

``due`` and ``forecast`` say what to do, ``grind`` and its like record what was done.
"""
