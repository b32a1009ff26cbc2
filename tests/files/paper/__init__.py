"""Tests of files's paper."""
