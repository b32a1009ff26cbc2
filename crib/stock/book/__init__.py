"""The ledger and what goes with each entry: people, running totals, the shop's changed rules.

``ledger`` adds entries; nothing changes or erases one.
"""
