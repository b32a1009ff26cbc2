"""Reference: formulas that the shop's answers do not use yet, checked against books.

They stand for a check beside the others and for what the answers are to learn next.
"""
