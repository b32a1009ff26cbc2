"""Tests of desk's shelf."""
