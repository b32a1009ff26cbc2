"""Tests of stock's engine."""
