"""Takes: sentences of the core and of the papers, numbers, lengths, money and dates.

Gives: each in the reader's language and units, by catalogues (``locale/``) and the locale's own patterns.
May not: know a paper, a page or a sheet.
"""
