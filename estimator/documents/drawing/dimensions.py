"""Lines of dimensions beside a roof: extension lines, ticks, and each length where it overprints no other.

Source: ISO 129-1, dimensions in chains outside the outline, as common practice draws them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Literal

from estimator.documents.drawing.labels import CLEAR_MM, TEXT_MM, Label, width_of
from estimator.documents.drawing.plan import Box, DimensionChain, RoofPlan
from estimator.documents.language.texts import Reader

FIRST_LEVEL_MM = 8.0
NEXT_LEVEL_MM = 5.8
SECOND_ROW_MM = 2.6
"""What a line of dimensions needs more where two systems are shown: the second below the line, long ones below that."""
TICK_MM = 0.9
OVERHANG_MM = 6.0
"""How far a length may stand out beyond its chain, clear of the chain along the other side."""


def margin_mm(plan: RoofPlan, axis: Literal["x", "y"], reader: Reader) -> float:
    """How much paper the dimensions along an axis need beside the roof, mm."""
    levels = max((chain.level for chain in plan.dimensions if chain.axis == axis), default=0)
    more = SECOND_ROW_MM if len(reader.formats.systems) > 1 else 0.0
    return FIRST_LEVEL_MM + (NEXT_LEVEL_MM + more) * (levels - 1) + TEXT_MM + more + 1.5


def dimensions(plan: RoofPlan, paper_mm: float, reader: Reader) -> Iterator[tuple[list[Box], list[Label]]]:
    """Every chain as its lines and lengths. A chain too dense to be read loses its inner edges, never a digit."""
    for chain in plan.dimensions:
        for ticks in _coarser(chain.ticks):
            at = _level_at(chain, paper_mm, reader)
            labels = _lengths(replace(chain, ticks=ticks), at, paper_mm, reader)
            if labels is not None:
                yield _drawn(chain.axis, ticks, at, paper_mm, labels)
                break


def _coarser(ticks: Sequence[float]) -> Iterator[tuple[float, ...]]:
    """All edges, the outer edges of what stands there, the whole length."""
    yield tuple(ticks)
    if len(ticks) > 4:
        yield ticks[0], ticks[1], ticks[-2], ticks[-1]
    if len(ticks) > 2:
        yield ticks[0], ticks[-1]


def _level_at(chain: DimensionChain, paper_mm: float, reader: Reader) -> float:
    next_level = NEXT_LEVEL_MM + (SECOND_ROW_MM if len(reader.formats.systems) > 1 else 0.0)
    return -(FIRST_LEVEL_MM + next_level * (chain.level - 1)) * paper_mm


def _drawn(
    axis: str, ticks: Sequence[float], at: float, paper_mm: float, labels: Sequence[Label]
) -> tuple[list[Box], list[Label]]:
    """Extension lines from the roof's edge, a slanting tick at each end; turned by a quarter along the slope."""
    tick = TICK_MM * paper_mm
    flat: list[Box] = [(ticks[0], at, ticks[-1], at)]
    for place in ticks:
        flat.append((place, -1.5 * paper_mm, place, at - tick))
        flat.append((place - tick, at - tick, place + tick, at + tick))
    if axis == "x":
        return flat, list(labels)
    return [(y0, x0, y1, x1) for x0, y0, x1, y1 in flat], [
        Label(each.text, each.y, each.x, "middle", turned=True) for each in labels
    ]


def _lengths(chain: DimensionChain, at: float, paper_mm: float, reader: Reader) -> list[Label] | None:
    """Each length over the middle of its stretch; one that is too long for it goes below the line.

    Of two systems the second stands in brackets below the line, and what is too long for its stretch below that.
    None where the lengths cannot all stand there.
    """
    side = -1 if chain.axis == "y" else 1  # turned by a quarter, what reads as above lies on the other side of the line
    systems = len(reader.formats.systems)
    rows = [at + side * 0.6 * paper_mm]
    rows += [at - side * (TEXT_MM + 0.4 + SECOND_ROW_MM * row) * paper_mm for row in range(systems)]
    clear = 2 * CLEAR_MM * paper_mm
    labels: list[Label] = []
    long: list[tuple[str, float]] = []
    only = len(chain.ticks) == 2
    for start, end in pairwise(chain.ticks):
        texts, middle = reader.formats.lengths(end - start), (start + end) / 2
        if only or max(width_of(text) for text in texts) * paper_mm + clear <= end - start:
            labels += [Label(text, middle, row) for text, row in zip(texts, rows, strict=False)]
        else:
            long.append((" ".join(texts), middle))
    lowest = _in_a_row(long, (chain.ticks[0], chain.ticks[-1]), rows[-1], paper_mm)
    return None if lowest is None else [*labels, *lowest]


def _in_a_row(
    texts: Sequence[tuple[str, float]], ends: tuple[float, float], row: float, paper_mm: float
) -> list[Label] | None:
    """Texts side by side, each as near to its place as those before it let it; None where they do not all fit."""
    over, clear = OVERHANG_MM * paper_mm, 2 * CLEAR_MM * paper_mm
    halves = [width_of(text) / 2 * paper_mm for text, _ in texts]
    free, middles = ends[0] - over, []
    for (_, wanted), half in zip(texts, halves, strict=True):
        middle = max(wanted, free + half)
        middles.append(middle)
        free = middle + half + clear
    last = ends[1] + over
    for at in range(len(texts) - 1, -1, -1):  # what ran out beyond the end is pushed back
        middles[at] = min(middles[at], last - halves[at])
        last = middles[at] - halves[at] - clear
    if texts and middles[0] - halves[0] < ends[0] - over:
        return None
    return [Label(text, middle, row) for (text, _), middle in zip(texts, middles, strict=True)]
