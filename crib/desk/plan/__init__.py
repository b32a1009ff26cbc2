"""A job from its parts to runs in order: picks, machines, tool changes, wear, set-up sheets.

``make_plan`` takes the steps one after another, each a file of its own.
"""
