"""Takes: a layout, a mounting choice and its limits or pressures.

Gives: which ribs carry a bracket, the rail as a continuous beam, and every check on them.
May not: count parts or know prices.
"""
