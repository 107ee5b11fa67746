"""What the loads of every standard share.

Takes what a standard found (coefficients, snow, dead load, combinations); gives the pressures of a zone at any area,
the lines that explain them, and the words and faults in which all standards speak. Knows no standard: a number printed
in one stands in that standard's own room.
"""
