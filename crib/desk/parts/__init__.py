"""What part files ask for: read, counted by size, checked against their own drawings, drawn.

``read_parts`` is the way in.
"""
