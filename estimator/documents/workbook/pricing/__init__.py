"""The sheets of a quote's workbook that price: lists, lines, rates, taxes and totals as live formulas."""
