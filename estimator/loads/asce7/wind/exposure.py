"""Which modules ASCE 7 clause 29.4.4 calls exposed: those near an array edge that nothing shelters (gammaE 1.5).

Rectangles are rows (left, lower, right, upper) in mm on the roof plane. A free edge is one without another module
before it within the sheltering gap. It is exposed where it also stands further than half the building's height from
the roof edge it faces; the ridge of a gable or hip roof shelters nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from estimator.loads.actions.curves import Floats
from estimator.loads.asce7.edition import FT_MM, Edition
from estimator.loads.zoning.plane import Plane

Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.int_]

FACES: tuple[tuple[int, int], ...] = ((0, -1), (2, 1), (1, -1), (3, 1))
"""Left, right, lower and upper edge: the column of the rectangle and the way it faces along its axis."""

OPPOSITE = {0: 2, 2: 0, 1: 3, 3: 1}
JOINT_MM = 100.0
"""Openings between the modules before an edge, up to which they shelter it as one [common practice, no source]."""


@dataclass(frozen=True, slots=True)
class ExposureRule:
    """The distances of the clause, mm: roof edge (0.5 h), sheltering gap, reach of an exposed edge."""

    roof_edge_mm: float
    gap_mm: float
    reach_mm: float


def exposure_rule(edition: Edition, height_mm: float, panel_height_mm: float, chord_mm: float) -> ExposureRule:
    """The distances for one building and module.

    Args:
        edition: 7-16 or 7-22.
        height_mm: mean roof height h.
        panel_height_mm: height h2 of the panel's top above the roof.
        chord_mm: Lp, the longer side of the module.

    Source: ASCE 7-16 clause 29.4.4: beyond 0.5 h, reach 1.5 Lp [found], gap over max(4 h2, 4 ft) [from memory]; 7-22:
    gap over 2 h2 [found once]. The reach of 2 h2 that a second-hand record gives for 7-22 is shorter than 1.5 Lp; the
    longer one is kept.

    >>> exposure_rule("7-16", 6096.0, 150.0, 2278.0)
    ExposureRule(roof_edge_mm=3048.0, gap_mm=1219.2, reach_mm=3417.0)

    """
    gap = max(4 * panel_height_mm, 4 * FT_MM) if edition == "7-16" else 2 * panel_height_mm
    return ExposureRule(0.5 * height_mm, gap, max(1.5 * chord_mm, 2 * panel_height_mm))


def exposed_modules(modules: npt.ArrayLike, plane: Plane, rule: ExposureRule) -> Flags:
    """Whether each module lies within reach of an exposed edge; shape (n,) for rectangles of shape (n, 4).

    >>> plane = Plane(40_000.0, 20_000.0, 10.0, "gable")
    >>> row = [(8000.0 + 1150 * c, 8000.0, 9130.0 + 1150 * c, 10_278.0) for c in range(12)]
    >>> flags = exposed_modules(row, plane, ExposureRule(3048.0, 1219.2, 1700.0))
    >>> bool(flags.all())
    True
    """
    rects = np.asarray(modules, dtype=np.float64).reshape(-1, 4)
    exposed = np.zeros(len(rects), dtype=np.bool_)
    if not len(rects):
        return exposed
    near = Neighbours.of(rects, max(rule.gap_mm, rule.reach_mm))
    for column, way in FACES:
        open_edges = far_from_edge(rects, plane, rule, column, way) & ~_has_twin(rects, rule.gap_mm, column, way)
        for index in np.flatnonzero(open_edges):
            at = near.of_module(int(index))
            around = rects[at]
            if not sheltered(around, int(np.searchsorted(at, index)), rule.gap_mm, column, way):
                exposed[at] |= within_reach(around, edge_of(rects[index], column), rule.reach_mm)
    return exposed


@dataclass(frozen=True, slots=True)
class Neighbours:
    """Modules by squares of the roof, so that what lies round one is found without looking at all."""

    squares: dict[tuple[int, int], Indices]
    places: Indices

    @staticmethod
    def of(rects: Floats, reach_mm: float) -> Neighbours:
        """Squares as wide as the reach and a module together: what is within reach of one lies in the next at most."""
        extent = float(max((rects[:, 2] - rects[:, 0]).max(), (rects[:, 3] - rects[:, 1]).max()))
        places = np.floor(rects[:, :2] / (reach_mm + extent + 1.0)).astype(np.int_)
        squares: dict[tuple[int, int], list[int]] = {}
        for index, (x, y) in enumerate(places.tolist()):
            squares.setdefault((x, y), []).append(index)
        return Neighbours({key: np.asarray(held, dtype=np.int_) for key, held in squares.items()}, places)

    def of_module(self, index: int) -> Indices:
        """Numbers of the modules in its square and the eight round it, ascending."""
        x, y = self.places[index].tolist()
        found = [self.squares.get((x + dx, y + dy)) for dx in (-1, 0, 1) for dy in (-1, 0, 1)]
        return np.sort(np.concatenate([each for each in found if each is not None]))


def _has_twin(rects: Floats, gap: float, column: int, way: int) -> Flags:
    """Modules with one of the same extent just before their edge, the usual case within an array; all at once."""
    across = (1, 3) if column in (0, 2) else (0, 2)
    _, line = np.unique(np.round(rects[:, list(across)]), axis=0, return_inverse=True)
    wide = 4.0 * float(np.abs(rects).max(initial=1.0)) + gap
    facing = np.sort(line.reshape(-1) * wide + rects[:, OPPOSITE[column]])
    edge = line.reshape(-1) * wide + rects[:, column]
    low, high = (edge - 1.0, edge + gap) if way > 0 else (edge - gap, edge + 1.0)
    return np.asarray(np.searchsorted(facing, low, "left") < np.searchsorted(facing, high, "right"))


def far_from_edge(rects: Floats, plane: Plane, rule: ExposureRule, column: int, way: int) -> Flags:
    """Edges further from the roof edge they face than half the building's height, on plan."""
    scale = 1.0 if column in (0, 2) else plane.cosine
    if way < 0:
        return np.asarray(rects[:, column] * scale > rule.roof_edge_mm)
    if column == 3 and plane.form in ("gable", "hip"):
        return np.ones(len(rects), dtype=np.bool_)
    far = plane.eave_mm if column == 2 else plane.slope_mm
    return np.asarray((far - rects[:, column]) * scale > rule.roof_edge_mm)


def sheltered(rects: Floats, index: int, gap: float, column: int, way: int) -> bool:
    """Whether modules within the gap stand before the whole of one edge."""
    across = (1, 3) if column in (0, 2) else (0, 2)
    low, high = rects[index, across[0]], rects[index, across[1]]
    distance = way * (rects[:, OPPOSITE[column]] - rects[index, column])
    near = (distance >= -1.0) & (distance <= gap) & (rects[:, across[0]] < high) & (rects[:, across[1]] > low)
    near[index] = False
    stretches = sorted((float(a), float(b)) for a, b in rects[near][:, list(across)])
    reached = float(low)
    for start, end in stretches:
        if start > reached + JOINT_MM:
            return False
        reached = max(reached, end)
    return reached + JOINT_MM >= high and bool(stretches)


def edge_of(rect: Floats, column: int) -> Floats:
    """One edge of a module as a rectangle without width: x from, y from, x to, y to; ``column`` names the edge."""
    edge = rect.copy()
    if column in (0, 2):
        edge[[0, 2]] = rect[column]
    else:
        edge[[1, 3]] = rect[column]
    return edge


def within_reach(rects: Floats, edge: Floats, reach: float) -> Flags:
    """Modules any part of which is nearer to the edge than the reach."""
    dx = np.maximum(np.maximum(edge[0] - rects[:, 2], rects[:, 0] - edge[2]), 0.0)
    dy = np.maximum(np.maximum(edge[1] - rects[:, 3], rects[:, 1] - edge[3]), 0.0)
    return np.asarray(np.hypot(dx, dy) < reach)
