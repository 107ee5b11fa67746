"""The sheets that lead from the takeoff to money: derivation, takeoff, materials, freight, labour, order."""
