"""Takes: jobs that are kept, choices, workbooks that come back.

Gives: quotes from draft to answer, their revisions, papers, comparisons, plans and re-pricing.
May not: order anything.
"""
