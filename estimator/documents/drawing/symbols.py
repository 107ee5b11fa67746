"""The symbols of the drawing, the same in every format; sizes in millimetres of paper."""

from __future__ import annotations

ATTACHMENT_MM = 0.9
SPLICE_MM = 1.1
LINE_LAYERS = frozenset({"rails", "ribs", "zones", "keep_clear"})
SWATCHES = {"attachments": (1.2, 1.2), "splices": (2.2, 1.2), "expansion_splices": (2.2, 1.2)}
PAPER_LAYERS = frozenset({"roof", "keep_clear", "zones", "dimensions"})
"""Layers whose lines keep their width on paper however large the roof is; the others shrink with the modules."""
