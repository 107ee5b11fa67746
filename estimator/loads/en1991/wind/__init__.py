"""Wind by EN 1991-1-4: peak velocity pressure (section 4) and external pressure coefficients (section 7)."""
