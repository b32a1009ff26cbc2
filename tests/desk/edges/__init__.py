"""Tests of desk's edges."""
