"""Holes that a punch and a die make: one file for each outline, and what a pair is judged by.

``punched`` is what they share.
"""
