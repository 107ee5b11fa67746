"""Takes: a visit.

Gives: the pages of those who work with quotes: signing in, quotes, jobs, orders, pricebooks.
May not: hold a rule of the trade, compute, or look into a table; a view asks one function of the service and shows.
"""
