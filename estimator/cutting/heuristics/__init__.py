"""Whole plans without a proof: greedy, sequential value correction, diving with column generation.

Takes an instance or the state of a search; gives a plan or nothing. May not claim a bound.
"""
