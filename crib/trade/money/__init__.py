"""What tooling costs and is worth: ways to make, the best purchase, how much to keep.

``purchase`` states the problem, ``purchase_best`` solves it; ``stocking`` and its like say when.
"""
