"""The roof plane as a plan of zones.

Takes a plane, a building and half-planes; gives convex zones, the zone of any point, the stretches of a line in each.
Knows neither wind nor snow.
"""
