"""Tests of desk's plan."""
