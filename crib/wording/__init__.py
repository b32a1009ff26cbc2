"""The words that both doors put to the facts of the rooms below, in English.

A fact comes by its code with its figures; only here it becomes a text. How an act is offered is
each door's own: the shell types it, the page shows a button.
"""
