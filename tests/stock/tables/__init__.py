"""Tests of stock's tables."""
