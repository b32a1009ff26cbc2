"""The crib's tables in and out: every row judged before one is written, whole or not at all.

``import_tables`` and ``export_tables`` are the ways in and out.
"""
