"""Takes: requests as they pass, and what waits in the tables.

Gives: health, metrics, request identities, times and spans.
May not: change an answer but for its headers.
"""
