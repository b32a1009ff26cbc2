"""What tooling costs and is worth: ways to make, the best purchase, how much to keep.

``purchase`` states the problem, ``purchase_best`` solves it; ``stocking`` says how many to order,
``safety_stock`` when.
"""
