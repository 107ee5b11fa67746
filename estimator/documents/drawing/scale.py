"""Scales of a drawing on paper, and the sheets a large roof needs.

Source of the scales: ISO 5455 and common practice for metric drawings; architect's and engineer's scales of the United
States for the others (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from estimator.documents.drawing.plan import Box, RoofPlan
from estimator.documents.language.formats import Units
from estimator.units import side_by_side, systems_of

METRIC = (5, 10, 20, 25, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000, 1500, 2000, 2500, 5000, 10_000)
US = {
    12: '1" = 1\'-0"', 16: '3/4" = 1\'-0"', 24: '1/2" = 1\'-0"', 32: '3/8" = 1\'-0"', 48: '1/4" = 1\'-0"',
    64: '3/16" = 1\'-0"', 96: '1/8" = 1\'-0"', 128: '3/32" = 1\'-0"', 192: '1/16" = 1\'-0"', 240: '1" = 20\'',
    360: '1" = 30\'', 480: '1" = 40\'', 600: '1" = 50\'', 720: '1" = 60\'', 1200: '1" = 100\'', 2400: '1" = 200\'',
    3600: '1" = 300\'', 4800: '1" = 400\'', 6000: '1" = 500\'', 12_000: '1" = 1000\'',
}  # fmt: skip
SMALLEST_MODULE_MM = 4.0
"""A module whose shorter side is smaller than this on paper is drawn again on sheets of its own."""


@dataclass(frozen=True, slots=True)
class Scale:
    """One millimetre of paper shows ``denominator`` millimetres of roof."""

    denominator: int
    text: str


@dataclass(frozen=True, slots=True)
class Tile:
    """A part of a large roof on a sheet of its own; columns are lettered from the left, rows numbered from the eave."""

    column: str
    row: str
    window: Box

    @property
    def name(self) -> str:
        """What the sheet is called."""
        return f"{self.column}{self.row}"


def scale_for(wide_mm: float, high_mm: float, room_wide_mm: float, room_high_mm: float, units: Units) -> Scale:
    """The largest usual scale at which the roof stands within the room on paper.

    >>> scale_for(12_000, 6_000, 170, 120, "metric").text
    '1:75'
    """
    needed = max(wide_mm / max(room_wide_mm, 1.0), high_mm / max(room_high_mm, 1.0))
    for denominator in _usual(units):
        if denominator >= needed - 1e-9:
            return _scale(denominator, units)
    return _scale(math.ceil(needed / 1000) * 1000, units)


def detail_scale(plan: RoofPlan, overview: Scale, units: Units) -> Scale | None:
    """The scale of the further sheets, or None where the overview shows the modules large enough."""
    short = min((min(x1 - x0, y1 - y0) for x0, y0, x1, y1 in plan.modules[:1]), default=0.0)
    if not short or short / overview.denominator >= SMALLEST_MODULE_MM:
        return None
    fitting = [d for d in _usual(units) if short / d >= SMALLEST_MODULE_MM * 1.5]
    return _scale(max(fitting), units) if fitting else None


def tiles(plan: RoofPlan, room_wide_mm: float, room_high_mm: float, scale: Scale) -> tuple[Tile, ...]:
    """The sheets that show every module once, as few as the room allows; sheets without a module are left out."""
    wide, high = room_wide_mm * scale.denominator, room_high_mm * scale.denominator
    left, low, right, top = _extent(plan)
    columns, rows = max(1, math.ceil((right - left) / wide)), max(1, math.ceil((top - low) / high))
    step_x, step_y = (right - left) / columns, (top - low) / rows
    filled = {
        (min(columns - 1, int((x - left) / step_x)), min(rows - 1, int((y - low) / step_y)))
        for x0, y0, x1, y1 in plan.modules
        for x in (x0, x1 - 1e-3)
        for y in (y0, y1 - 1e-3)
    }
    return tuple(
        Tile(
            letters(column),
            str(row + 1),
            (left + column * step_x, low + row * step_y, left + (column + 1) * step_x, low + (row + 1) * step_y),
        )
        for column, row in sorted(filled)
    )


def letters(number: int) -> str:
    """0 is A, 25 is Z, 26 is AA.

    >>> letters(0), letters(25), letters(26)
    ('A', 'Z', 'AA')
    """
    return "".join(_letters(number))


def _letters(number: int) -> Iterator[str]:
    if number >= 26:
        yield from _letters(number // 26 - 1)
    yield chr(ord("A") + number % 26)


def _usual(units: Units) -> Iterable[int]:
    """The scales of the system that is shown first."""
    return US if systems_of(units)[0] == "us" else METRIC


def _scale(denominator: int, units: Units) -> Scale:
    ratio = f"1:{denominator}"
    texts = [US.get(denominator, ratio) if system == "us" else ratio for system in systems_of(units)]
    return Scale(denominator, side_by_side(texts))


def _extent(plan: RoofPlan) -> Box:
    """The modules' outer edges with a border of half a metre, within the roof."""
    border = 500.0
    boxes = [named.box for named in plan.arrays] or [(0.0, 0.0, plan.width_mm, plan.height_mm)]
    return (
        max(0.0, min(box[0] for box in boxes) - border),
        max(0.0, min(box[1] for box in boxes) - border),
        min(plan.width_mm, max(box[2] for box in boxes) + border),
        min(plan.height_mm, max(box[3] for box in boxes) + border),
    )
