"""Takes: what happened, in the transaction that caused it.

Gives: events to read on, and webhooks told at least once, in order for each quote, signed, never inside the house.
May not: change what it tells of.
"""
