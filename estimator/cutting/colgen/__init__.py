"""Column generation: the linear program over patterns and the lower bounds that follow from its prices.

Takes an instance and limits on the number of bars of each stock. The restricted master holds the patterns found so far,
pricing finds the best-paid pattern of every bar by a bounded knapsack, and the bound is evaluated in whole numbers.
Source: Gilmore and Gomory, Operations Research 9 (1961) 849 and 11 (1963) 863.
"""
