"""What is written on the drawing of a roof: dimensions, names, the scale bar; as lines and labels in roof coordinates.

``paper_mm`` is how many millimetres of roof one millimetre of paper shows; every writer draws the same of both.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from estimator.documents.drawing.plan import Box, DimensionChain, RoofPlan
from estimator.documents.language.texts import Reader

TEXT_MM = 2.1
FIRST_LEVEL_MM = 8.0
NEXT_LEVEL_MM = 5.5
SECOND_ROW_MM = 2.6
"""What a line of dimensions needs more where two systems are shown: the second below the line, long ones below that."""
TICK_MM = 0.9
LETTER_SHARE = 0.62
BAR_STEPS_MM = tuple(step * 10**power for power in (3, 4, 5) for step in (1, 2, 5))
BAR_STEPS_FT = (1, 2, 5, 10, 20, 50, 100, 200, 500)
BAR_PAPER_MM = 32.0
FOOT_MM = 304.8
LARGEST_SYMBOL_UNIT = 110.0


@dataclass(frozen=True, slots=True)
class Label:
    """A text at a point of the roof plane; ``turned`` reads upwards. ``size_mm`` on paper."""

    text: str
    x: float
    y: float
    anchor: Literal["start", "middle", "end"] = "middle"
    turned: bool = False
    bold: bool = False
    size_mm: float = TEXT_MM


@dataclass(frozen=True, slots=True)
class Annotations:
    """Lines (two ends each) and labels."""

    lines: tuple[Box, ...]
    labels: tuple[Label, ...]


@dataclass(frozen=True, slots=True)
class ScaleBar:
    """A bar of so many equal steps; ``text`` names its whole length."""

    length_mm: float
    steps: int
    text: str


def width_of(text: str, size_mm: float = TEXT_MM) -> float:
    """About how wide a text stands on paper, mm; on the safe side for digits and lower case."""
    return len(text) * LETTER_SHARE * size_mm


def symbol_unit(paper_mm: float) -> float:
    """The millimetre of paper that symbols and fine lines are drawn with, in mm of roof.

    On a large roof they shrink with it instead of covering the modules; whoever zooms in sees them at about true size.

    >>> symbol_unit(50.0), symbol_unit(900.0)
    (50.0, 110.0)
    """
    return min(paper_mm, LARGEST_SYMBOL_UNIT)


def margin_mm(plan: RoofPlan, axis: Literal["x", "y"], reader: Reader) -> float:
    """How much paper the dimensions along an axis need beside the roof, mm."""
    levels = max((chain.level for chain in plan.dimensions if chain.axis == axis), default=0)
    more = SECOND_ROW_MM if len(reader.formats.systems) > 1 else 0.0
    return FIRST_LEVEL_MM + (NEXT_LEVEL_MM + more) * (levels - 1) + TEXT_MM + more + 1.5


def annotate(plan: RoofPlan, paper_mm: float, reader: Reader) -> Annotations:
    """Dimensions left of and below the roof, and the names of edges, arrays, obstructions and zones."""
    lines: list[Box] = []
    labels: list[Label] = list(_names(plan, paper_mm, reader))
    for chain in plan.dimensions:
        drawn = _chain(chain, paper_mm, reader)
        lines += drawn.lines
        labels += drawn.labels
    return Annotations(tuple(lines), tuple(labels))


def _chain(chain: DimensionChain, paper_mm: float, reader: Reader) -> Annotations:
    """One line of dimensions: extension lines from the roof's edge, a slanting tick at each end, the length between."""
    next_level = NEXT_LEVEL_MM + (SECOND_ROW_MM if len(reader.formats.systems) > 1 else 0.0)
    at = -(FIRST_LEVEL_MM + next_level * (chain.level - 1)) * paper_mm
    tick = TICK_MM * paper_mm
    flat: list[Box] = [(chain.ticks[0], at, chain.ticks[-1], at)]
    for place in chain.ticks:
        flat.append((place, -1.5 * paper_mm, place, at - tick))
        flat.append((place - tick, at - tick, place + tick, at + tick))
    labels = list(_lengths(chain, at, paper_mm, reader))
    if chain.axis == "x":
        return Annotations(tuple(flat), tuple(labels))
    turned = tuple((y0, x0, y1, x1) for x0, y0, x1, y1 in flat)
    return Annotations(turned, tuple(Label(at.text, at.y, at.x, "middle", turned=True) for at in labels))


def _lengths(chain: DimensionChain, at: float, paper_mm: float, reader: Reader) -> Iterator[Label]:
    """Each length over the middle of its stretch; one that is too long for it goes below the line, next to the tick.

    Of two systems the second stands in brackets below the line, and what is too long for its stretch below that.
    """
    side = -1 if chain.axis == "y" else 1  # turned by a quarter, what reads as above lies on the other side of the line
    systems = len(reader.formats.systems)
    rows = [at + side * 0.6 * paper_mm]
    rows += [at - side * (TEXT_MM + 0.4 + SECOND_ROW_MM * row) * paper_mm for row in range(systems)]
    free_above = free_below = float("-inf")
    for start, end in pairwise(chain.ticks):
        texts = reader.formats.lengths(end - start)
        half = max(width_of(text) for text in texts) / 2 * paper_mm
        middle = (start + end) / 2
        if 2 * half <= end - start and middle - half >= free_above:
            free_above = middle + half
            yield from (Label(text, middle, row) for text, row in zip(texts, rows, strict=False))
        else:
            text = " ".join(texts)
            half = width_of(text) / 2 * paper_mm
            if systems > 1:  # a long text stays within the chain, clear of the other axis
                middle = max(min(middle, chain.ticks[-1] - half), chain.ticks[0] + half)
            middle = max(middle, free_below + half + 0.5 * paper_mm)
            free_below = middle + half
            yield Label(text, middle, rows[-1])


def _names(plan: RoofPlan, paper_mm: float, reader: Reader) -> Iterator[Label]:
    t = reader.texts.t
    yield Label(t("ridge"), plan.width_mm / 2, plan.height_mm + 1.2 * paper_mm)
    yield Label(t("eave"), plan.width_mm / 2, -(TEXT_MM + 0.9) * paper_mm)
    for named in plan.arrays:
        x0, _, _, y1 = named.box
        yield Label(t("Array {name}", name=named.name), x0, y1 + 0.9 * paper_mm, "start", bold=True)
    for named in plan.obstructions:
        x0, y0, x1, y1 = named.box
        fits = width_of(named.name) * paper_mm <= x1 - x0
        yield Label(named.name, (x0 + x1) / 2, (y0 + y1) / 2 - TEXT_MM / 2 * paper_mm if fits else y1 + 0.7 * paper_mm)
    for zone in plan.zones:
        if zone.label_at is not None:
            x, y = zone.label_at
            yield Label(zone.tag, x, y - TEXT_MM / 2 * paper_mm, bold=True)


def scale_bar(paper_mm: float, reader: Reader) -> ScaleBar:
    """The longest bar of a round length that stays within its place on paper."""
    room, formats = BAR_PAPER_MM * paper_mm, reader.formats
    both = len(formats.systems) > 1
    if formats.systems[0] == "us":
        feet = max((step for step in BAR_STEPS_FT if step * FOOT_MM <= room), default=1)
        also = f" ({formats.decimal(feet * FOOT_MM / 1000, 2)} m)" if both else ""
        return ScaleBar(feet * FOOT_MM, 2 if str(feet)[0] in "24" else 5 if feet > 1 else 1, f"{feet} ft{also}")
    length = max((step for step in BAR_STEPS_MM if step <= room), default=1000)
    also = f" ({formats.decimal(length / FOOT_MM, 1)} ft)" if both else ""
    return ScaleBar(float(length), 2 if str(length)[0] == "2" else 5, f"{formats.decimal(length / 1000, 0)} m{also}")
