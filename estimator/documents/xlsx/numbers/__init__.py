"""Numbers as cells hold and show them: measures in two systems, money, roundings."""
