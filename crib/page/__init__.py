"""The second door: a page for phones, tablets and the shop's PC at the window.

One file a page, its template beside it; no rule and no query. Read `app.py` first, then a view.
"""
