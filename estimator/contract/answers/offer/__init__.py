"""Takes: an offer of the core.

Gives: the parts of its answer, one file each: counts and runs, loads, mounting, lines and totals, cut plan, comparison.
May not: compute a number; what it shows stands in the record. Lengths in mm on the roof plane: x runs along the eave
from its left end as seen from the ground, y up the slope from the eave.
"""
