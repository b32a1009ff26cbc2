"""A week at the window of an invented shop, told day by day, with counts worked out by hand."""
