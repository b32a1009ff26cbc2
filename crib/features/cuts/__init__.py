"""What is cut off or pointed: bars, flats, sections and tubes at a shear, a picket's end.

``cut`` and ``point`` are the kinds.
"""
