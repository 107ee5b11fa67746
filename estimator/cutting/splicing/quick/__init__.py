"""The quick search: one linear program over real lengths, its columns rounded, and the bound its prices prove.

Takes the problem and an effort; gives proposals and a bound. Prices of pieces are straight between whole units of a
lattice; ways are found for all kinds of members together in long arrays.
"""
