"""Tests of features's holes."""
