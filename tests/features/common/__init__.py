"""Tests of features's common."""
