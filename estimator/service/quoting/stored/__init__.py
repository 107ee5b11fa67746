"""Takes: an organisation and a quote's number, or what a list asks for.

Gives: quotes, their answers, history and lists, as rows of the database keep them.
May not: calculate.
"""
