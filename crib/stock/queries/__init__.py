"""What is read: one file for each thing that is asked of the tables.

A query returns plain records and writes nothing.
"""
