"""Takes: the list of routes and the schemas of the contract.

Gives: the OpenAPI description of both.
May not: know what a view does.
"""
