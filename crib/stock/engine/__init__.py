"""The database: one session over one connection, migrations, safe copies and the way back.

``session`` is the one way to the data.
"""
