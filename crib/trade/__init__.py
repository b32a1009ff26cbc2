"""What the trade knows: formulas and tables, pure and sourced."""
