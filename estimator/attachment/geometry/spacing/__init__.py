"""Takes: runs without attachments, the ribs under them, and limits of spans and cantilevers.

Gives: where attachments stand along each run: the fewest that keep the limits.
May not: know what a bracket is.
"""
