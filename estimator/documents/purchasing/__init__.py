"""Takes: order lists and their head.

Gives: what heads an order and a packing list alike: parties, facts, notes, their workbook.
May not: know a single paper.
"""
