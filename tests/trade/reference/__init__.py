"""Tests of trade's metal."""
