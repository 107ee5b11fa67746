"""Takes: what is ordered, freight and labour.

Gives: a priced bill, exact to the minor unit, every step in its order.
May not: count, or round anything twice.
"""
