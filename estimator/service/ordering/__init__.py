"""Takes: accepted quotes, stock on hand, what was ordered before.

Gives: order lists, their papers, and what changes in them.
May not: change a quote's figures.
"""
