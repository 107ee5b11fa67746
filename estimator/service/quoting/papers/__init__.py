"""Takes: a stored quote and a paper's name.

Gives: the paper as bytes, written now or kept when the quote was issued.
May not: change a quote.
"""
