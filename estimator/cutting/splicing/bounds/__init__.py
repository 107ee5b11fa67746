"""What any plan costs at least: by lengths alone, by whole numbers of bars and splices, and by what prices prove.

Takes the problem; gives lower bounds in whole numbers. Cuts over numbers of bars and splices follow Benders,
Numerische Mathematik 4 (1962) 238.
"""
