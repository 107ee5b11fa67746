"""Runs longer than a bar: how each is made of pieces is chosen together with the patterns those are cut by.

Takes members to be spliced, whole pieces and bars. A member's joints are a shortest path over its position graph;
patterns and paths share one linear program, its prices give cuts over numbers of bars and splices (Benders), and
proposals from the program are repaired until every bar holds its pieces.
"""
