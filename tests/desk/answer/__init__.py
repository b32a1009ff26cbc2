"""Tests of desk's answer."""
