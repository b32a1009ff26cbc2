"""Tests of desk's common."""
