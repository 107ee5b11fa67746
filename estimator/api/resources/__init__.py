"""The resources of the API: a module for each, with its routes and the views that answer them.

A view reads the request, calls one function of ``service/`` and says the answer by its schema; it holds no rule.
"""
