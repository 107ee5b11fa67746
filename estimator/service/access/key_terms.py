"""Whom a key is for and how long it lives where nothing else is said."""

FIRST_ORGANISATION = "house"
DEFAULT_DAYS = 365
