"""The quote for programs: a UBL 2.1 quotation."""
