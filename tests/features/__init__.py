"""Tests of features."""
