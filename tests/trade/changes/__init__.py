"""Tests of trade's changes."""
