"""Common: what every file has of us, tables, drawings and papers alike.

A file is written whole or not at all; a sheet of paper has a name and a size.
"""
