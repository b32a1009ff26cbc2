"""Strokes after a shift: said at the window, taken from a sheet, or typed back by its codes.

``log`` and ``stroke_sheet`` count them; ``weigh`` says what each costs its edge.
"""
