"""The records of the crib: tables, session, ledger, queries, backup."""
