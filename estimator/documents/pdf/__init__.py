"""Takes: heads of pages, paragraphs, tables, marks.

Gives: a tagged PDF with embedded fonts; the same content, the same bytes.
May not: know a paper or what it says.

A page is built in two passes: reportlab sets it, each piece marked (``tags``); then the file is packed again with the
tree of its structure (``structure``, ``file``), which the library itself does not write.
Source: ISO 32000-1, 14.7 and 14.8.
"""
