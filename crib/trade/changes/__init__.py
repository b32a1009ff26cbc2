"""The order of jobs that needs the fewest tool changes.

``tool_changes`` is the way in; the others are its ways to search and to prove.
"""
