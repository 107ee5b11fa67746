"""From the linear program to real plans: whole patterns and ways, and joints moved until every bar holds its pieces.

Takes an optimum of the linear program or a proposal of the lattice; gives whole numbers of patterns and ways (diving, a
small whole program) and plans of real lengths (repair).
"""
