"""Takes: the outbox, and what the calendar changes by itself: quotes that expire, editions that come into force.

Gives: events for both, each once however many machines run, and deliveries under way.
May not: change a quote or an edition.
"""
