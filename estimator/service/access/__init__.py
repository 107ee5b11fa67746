"""Takes: who asks, by which key or account.

Gives: what they may do, within which limits, with whose approval, and the log of what was done.
May not: know what a quote or an order is made of.
"""
