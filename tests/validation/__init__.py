"""Tests of validation."""
