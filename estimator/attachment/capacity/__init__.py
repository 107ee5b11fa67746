"""What one attachment and one rail may carry: by tests, by screws in the sheet, by the alloy.

Takes a bracket, a sheet or a rail and the method; gives strengths with the way they were found. Knows no loads.
"""
