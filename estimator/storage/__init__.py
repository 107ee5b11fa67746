"""Takes: records of the inside, and what the service keeps beside them.

Gives: tables with their migrations, rows by client, a lossless codec for offers, pricebook folders read into books.
May not: compute a price or a count; rows hold what they are given.
"""
