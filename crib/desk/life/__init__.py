"""How long edges last as the shop's own edges taught it, and what the reminders follow.

``learning`` reads and reckons, ``relearn`` keeps the outcome beside each kind.
"""
