"""Wind by ASCE 7: velocity pressure (26.10), coefficients GCp and zones (30.3), panels on the roof (29.4.4)."""
