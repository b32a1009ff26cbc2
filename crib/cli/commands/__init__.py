"""One file for each command: parse, one desk call, render.

``command_list`` beside this folder names them all.
"""
