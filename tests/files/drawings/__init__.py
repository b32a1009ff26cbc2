"""Tests of files's drawings."""
