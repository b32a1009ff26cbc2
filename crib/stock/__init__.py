"""The records of the crib: tables, session, ledger, queries, backup."""

HEAD_REVISION = "0002"
"""The newest revision in schema/versions; a test holds the two equal."""
