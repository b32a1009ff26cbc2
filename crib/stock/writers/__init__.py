"""What is written beside the ledger: jobs, holds, kits, printed sheets, purchases.

Each writes in its caller's transaction.
"""
