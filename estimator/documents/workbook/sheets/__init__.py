"""The sheets of a quote's workbook, one to a file."""
