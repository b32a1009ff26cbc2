"""Tests of features's edges."""
