"""The words that both doors put to facts."""
