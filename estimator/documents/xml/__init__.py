"""Takes: facts of a quote or an order.

Gives: elements of UBL 2.1 (ISO/IEC 19845), validated in the tests against its schemas.
May not: know a paper.
"""
