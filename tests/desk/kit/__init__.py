"""Tests of desk's kit."""
