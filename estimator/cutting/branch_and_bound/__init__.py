"""The exact search for pieces and bars without joints: numbers of bars of each stock, branched on or gone through.

Takes a cutting problem and an effort, gives patterns, their cost and the proven lower bound.
"""
