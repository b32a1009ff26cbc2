"""Tests of trade's life."""
