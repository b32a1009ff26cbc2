"""Tests of features's saddles."""
