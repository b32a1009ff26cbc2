"""Tests of desk's parts."""
