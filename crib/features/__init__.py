"""What a drawing can ask for: one file for each kind of feature."""
