"""Column generation on a lattice: the linear program over patterns and ways to make members, and its pricing problems.

Takes the problem on a lattice and limits on bars and splices; gives the optimum of the linear program, its prices, and
the bound they prove in whole numbers. Patterns are priced by an unbounded knapsack, ways by shortest paths.
"""
