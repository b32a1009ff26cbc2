"""The tool crib of a fabrication shop."""
