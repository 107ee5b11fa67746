"""Takes: a layout, its setting-out and its checks.

Gives: the plan of a roof as a record (``plan``), and its drawing on pages of a PDF.
May not: move or count anything: what is drawn stands in the offer.
"""
