"""Takes: offers, quotes, order lists as the service hands them out.

Gives: the same as plain JSON values; cost and margin only where the asker may see them.
May not: compute a number; what it shows stands in the record.
"""
