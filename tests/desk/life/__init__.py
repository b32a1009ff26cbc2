"""Tests of desk's life."""
