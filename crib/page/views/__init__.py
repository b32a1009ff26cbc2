"""One file for each thing a person comes to the page for: fields, one call of the desk, reply.

Each names its addresses in ``VIEWS``; `crib/page/app.py` lists the files.
"""
