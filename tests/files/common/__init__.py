"""Tests of files's common."""
