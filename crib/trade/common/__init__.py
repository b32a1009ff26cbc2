"""What every formula shares: refusals, verdicts, and the published tables.

``published_tables`` is the one file of the room that reads a file.
"""
