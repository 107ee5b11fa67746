"""Takes: order lists and the sites of their quotes.

Gives: who receives how many of each line, and one delivery for each site and day.
May not: change what is ordered.
"""
