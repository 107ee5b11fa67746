"""Takes: a layout, a setting-out, a cut plan and the book's assembly rules.

Gives: the counts by name, and net parts with every line's derivation.
May not: add spares, round to packs, or know prices.
"""
