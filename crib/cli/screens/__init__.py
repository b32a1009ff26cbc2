"""How answers are drawn in a terminal: tables and words, 80 columns, without colour.

A screen takes a result of the desk and asks nothing.
"""
