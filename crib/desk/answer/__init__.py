"""Which tool for this feature: the search, its judging and ranking, and what to do without one.

``find`` answers a phrase; ``compare`` and ``wrap`` answer what else can be asked of one.
"""
