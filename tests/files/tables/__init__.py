"""Tests of files's tables."""
