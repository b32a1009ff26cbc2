"""Tests of stock's book."""
