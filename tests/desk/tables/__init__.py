"""Tests of desk's tables."""
