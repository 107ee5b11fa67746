"""Takes: who asks, and records of what is asked.

Gives: the one door of the program: each function loads, calls the inside, saves, in one transaction.
May not: know of HTTP; compute an amount.
"""
