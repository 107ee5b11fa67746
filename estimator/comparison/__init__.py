"""Takes: a job, a book and an estimate.

Gives: the same job in the other material, the other arrangements and brackets, side by side.
May not: change the estimate it compares with.
"""
