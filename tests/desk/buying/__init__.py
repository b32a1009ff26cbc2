"""Tests of desk's buying."""
