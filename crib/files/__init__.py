"""Formats in and out: CSV, XLSX, drawings; no database."""
