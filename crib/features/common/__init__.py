"""What every kind of feature shares: the ask, its findings, its tooling, how phrases are read.

No kind of feature is named here.
"""
