"""Takes: refusals, faults of the HTTP layer and of the database.

Gives: application/problem+json by one table, a request tried again where that helps, and a page for each type.
May not: decide what is refused.
"""
