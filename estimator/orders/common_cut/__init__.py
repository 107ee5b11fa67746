"""Takes: accepted quotes that share a rail.

Gives: one cut plan over all of them, what it costs beside a plan for each, and the saw lists it fills.
May not: change a count; where it saves nothing, each quote keeps its own plan.
"""
