"""Tests of stock's queries."""
