"""Tests of trade's common."""
