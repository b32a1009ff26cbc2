"""What to buy next and why, ordered and received.

``buy`` chooses the lines, ``place_orders`` orders them, ``receive`` takes in what came.
"""
