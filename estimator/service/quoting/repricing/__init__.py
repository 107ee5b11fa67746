"""Takes: another pricebook edition.

Gives: what each open quote would cost under it, kept in rows, as a list or a table; new drafts on request.
May not: touch an issued quote.
"""
