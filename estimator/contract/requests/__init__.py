"""Takes: JSON as a client posts it.

Gives: the records of the core, in mm, kg, N, Pa, degrees, m/s, or every fault with its place.
May not: judge whether a roof makes sense; that is the core's affair.
"""
