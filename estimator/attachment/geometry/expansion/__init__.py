"""Takes: cells of an array and the rule of expansion splices.

Gives: the parts a rail is cut into, gaps without room for them, and how far each part moves with temperature.
May not: decide where attachments stand.
"""
