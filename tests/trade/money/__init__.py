"""Tests of trade's money."""
