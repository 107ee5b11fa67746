"""How any table of an edition is read: a CSV file to rows, a row to cells, a cell to a quantity, amount, share or word.

Takes bytes and the signs of the house's country; gives checked values, and keeps each fault with file, row and column.
Knows no table by name, but for the words that older editions used.
"""
