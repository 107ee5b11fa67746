"""A part of the drawing: what touches a window, rails cut at its edges."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from estimator.documents.drawing.plan import Box, RoofPlan


def windowed(plan: RoofPlan, window: Box) -> RoofPlan:
    """The plan with only what lies in or touches the window; points on the border count once (lower and left in)."""
    x0, y0, x1, y1 = window
    return replace(
        plan,
        ribs=tuple(rib for rib in plan.ribs if x0 <= rib < x1),
        modules=tuple(box for box in plan.modules if _touches(box, window)),
        rails=tuple(_cut(plan.rails, window)),
        attachments=tuple(p for p in plan.attachments if x0 <= p[0] < x1 and y0 <= p[1] < y1),
        splices=tuple(c for c in plan.splices if x0 <= c.x < x1 and y0 <= c.y < y1),
        expansion_splices=tuple(c for c in plan.expansion_splices if x0 <= c.x < x1 and y0 <= c.y < y1),
        obstructions=tuple(o for o in plan.obstructions if _touches(o.box, window)),
    )


def _touches(box: Box, window: Box) -> bool:
    return box[0] < window[2] and box[2] > window[0] and box[1] < window[3] and box[3] > window[1]


def _cut(lines: Iterable[Box], window: Box) -> Iterator[Box]:
    x0, y0, x1, y1 = window
    for a, b, c, d in lines:
        if a <= x1 and c >= x0 and b <= y1 and d >= y0:
            yield max(a, x0), max(b, y0), min(c, x1), min(d, y1)
