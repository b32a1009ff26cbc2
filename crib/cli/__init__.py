"""One file for each command: parse, one desk call, render."""
