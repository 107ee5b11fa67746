"""Takes: refusals of every layer.

Gives: the one table that turns each into a status, a name, a title and a remedy, and the members of its problem.
May not: decide what is refused. Source: RFC 9457 (problem details for HTTP APIs).
"""
