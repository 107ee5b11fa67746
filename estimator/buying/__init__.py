"""Takes: net lines.

Gives: what is ordered, with spares, packs and whole bars; the only place where counts are rounded up.
May not: know prices.
"""
