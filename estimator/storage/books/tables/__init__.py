"""The tables of an edition, a file for each family: parts, brackets, rails, strengths, rules, texts.

Takes rows; gives the records of the book, each fault kept with file, row and column. ``tables.md`` tells every column.
"""
