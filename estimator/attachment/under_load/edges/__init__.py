"""Module edges held without rail, under load: each edge a beam over its seats, more seats where they are needed.

Takes a setting-out of seats and what each roof may take; gives the seats that hold, their checks and findings.
"""
