"""Tests of trade's shop."""
