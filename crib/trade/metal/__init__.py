"""Steel and what is done to it: materials and sizes, forces, clearances, limits, codes.

One file for each topic; ``force`` and ``materials`` are the ones to begin with.
"""
