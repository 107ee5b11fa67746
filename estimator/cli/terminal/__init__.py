"""What every command shares: refusals people can read, progress, dates, and which pricebooks are read.

Knows no command.
"""
