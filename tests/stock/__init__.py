"""Tests of stock."""
