"""Takes: texts.

Gives: the two faces that every page and drawing carries, widths of texts, and what cannot be drawn.
May not: know a page or a language.
"""
