"""Takes: tables, figures and formulas with their values.

Gives: sheets that print well and whose formulas hold their values before anybody calculates; the same content, the same
bytes.
May not: know a paper or what it says.
"""
