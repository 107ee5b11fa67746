"""Takes: cut plans of one job, or of several jobs cut from common bars.

Gives: what the saw cuts, piece by piece, and its tables and drawings for whichever paper shows them.
May not: plan cuts.
"""
