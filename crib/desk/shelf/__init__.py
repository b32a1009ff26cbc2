"""The pieces on their shelf: put in, moved, counted, measured, labelled, taken out of use.

``stock`` lists them; whatever else is here writes one kind of entry.
"""
