"""Tests of stock's writers."""
