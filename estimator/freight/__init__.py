"""Takes: what is ordered, with its masses.

Gives: the shipped mass and the freight charge of its zone.
May not: know the prices of parts.
"""
