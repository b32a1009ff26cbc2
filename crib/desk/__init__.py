"""One file for each thing a person comes to the window for."""
