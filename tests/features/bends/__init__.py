"""Tests of features's bends."""
