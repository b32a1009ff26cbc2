"""What a stroke costs an edge, how long edges last, and what is left to grind.

``wear`` and ``grinding`` are the shop's arithmetic, the others its statistics.
"""
