"""Tests of desk's book."""
