"""Takes: a frozen record of the core, or the text it was stored as.

Gives: the other; each record type by a tag with a version, older versions brought up to today's on the way.
May not: know a table or a module path.
"""
