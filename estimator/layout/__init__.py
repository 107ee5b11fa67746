"""Takes: a job.

Gives: where its modules, segments and ribs lie, and every breach of an edge, strip or obstruction.
May not: know brackets, loads or prices.
"""
