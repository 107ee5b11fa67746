"""The head of an edition, ``book.toml``: who quotes, in which currency, by which rates and taxes, with which logo.

Takes the parsed file; gives its records, and keeps each fault with its key.
"""
