"""Sentences that were worded otherwise when older quotes were kept: what was said then, and what is said today.

A kept quote keeps the sentences of its day; documents tell them in today's words, in every language.
"""

from __future__ import annotations

from collections.abc import Mapping

REWRITTEN: Mapping[str, str] = {
    "side rail": "rail on the side",
    "bottom rail": "rail on top",
    "side_rail": "rail_on_side",
    "bottom_rail": "rail_on_top",
}
"""Templates by what they were; today's name the same values. None is taken out, since kept quotes hold them."""
