"""The end of a pipe or tube cut to sit on another: ``saddle``, and its template.

``tubular`` tells a pipe's name from its size.
"""
