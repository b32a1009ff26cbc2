"""Tests of features's cuts."""
