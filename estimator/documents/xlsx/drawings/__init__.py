"""What is drawn on a sheet: charts, a house's logo, patterns of bars."""
