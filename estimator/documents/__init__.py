"""Takes: an offer (job, estimate, comparison) and a quote's head.

Gives: the same content as workbook, PDF, drawing, order and CSV, as bytes; the same content, the same bytes.
May not: compute or round an amount; what it shows stands in the offer.
"""
