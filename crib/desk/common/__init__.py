"""What every wing of the desk shares: who acts, how a piece stands, what a price is.

No wing of the desk comes before it.
"""
