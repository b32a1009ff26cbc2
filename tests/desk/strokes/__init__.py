"""Tests of desk's strokes."""
