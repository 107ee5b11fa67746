"""What lies off the plane, in a strip to be kept clear, or on an obstruction, and by how much."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from estimator.job import Obstruction, Roof
from estimator.layout.cells import Rectangles
from estimator.layout.ribs import TOLERANCE_MM
from estimator.places import Place, Side
from estimator.sentences import say

Border = Literal["off_plane", "in_keep_clear", "on_obstruction"]
EDGES: tuple[Side, ...] = ("left", "eave", "right", "ridge")


@dataclass(frozen=True, slots=True)
class Breach:
    """Rectangles that breach one edge or lie on one obstruction.

    ``worst`` is the number of the one that breaches it most, ``distance_mm`` how far it would have to move,
    ``all`` the numbers of those that do. ``side`` is the edge, or ``obstruction`` names what is in the way;
    ``strip_mm`` is the width of the edge's strip.
    """

    border: Border
    worst: int
    all: tuple[int, ...]
    distance_mm: float
    side: Side | None = None
    obstruction: str = ""
    strip_mm: float = 0.0

    @property
    def count(self) -> int:
        """How many breach it."""
        return len(self.all)

    def on(self, place: Place) -> Place:
        """The place of the worst of them, with the edge or obstruction it breaches."""
        return replace(place, side=self.side, obstruction=self.obstruction)


@dataclass(frozen=True, slots=True)
class Obstacles:
    """The obstructions of a roof with names of their own, and their bounds x0, y0, x1, y1 (n, 4) in mm."""

    obstructions: tuple[Obstruction, ...]
    names: tuple[str, ...]
    bounds: NDArray[np.float64]

    @staticmethod
    def of(roof: Roof) -> Obstacles:
        """Those of a roof: made once, however many arrays it has."""
        bounds = [(o.x_mm, o.y_mm, o.x_mm + o.width_mm, o.y_mm + o.height_mm) for o in roof.obstructions]
        return Obstacles(roof.obstructions, obstruction_names(roof), np.array(bounds, float).reshape(-1, 4))

    def reached(self, rectangles: Rectangles) -> list[int]:
        """The numbers of those that the outline of some rectangles reaches."""
        low, high = rectangles[:, :2].min(axis=0), rectangles[:, 2:].max(axis=0)
        meets = (self.bounds[:, :2] < high).all(axis=1) & (self.bounds[:, 2:] > low).all(axis=1)
        return list(np.flatnonzero(meets).tolist())


def breaches(rectangles: Rectangles, roof: Roof, obstacles: Obstacles | None = None) -> tuple[Breach, ...]:
    """Every edge and obstruction that some of the (n, 4) rectangles x0, y0, x1, y1 breach, edges first."""
    if not len(rectangles):
        return ()
    return (*_edge_breaches(rectangles, roof), *_obstruction_breaches(rectangles, obstacles or Obstacles.of(roof)))


def _edge_breaches(rectangles: Rectangles, roof: Roof) -> list[Breach]:
    clear = roof.keep_clear
    strips = (clear.left_mm, clear.eave_mm, clear.right_mm, clear.ridge_mm)
    beyond = (
        -rectangles[:, 0],
        -rectangles[:, 1],
        rectangles[:, 2] - roof.eave_length_mm,
        rectangles[:, 3] - roof.slope_length_mm,
    )
    found = []
    for edge, strip, past in zip(EDGES, strips, beyond, strict=True):
        breaching = _numbers(past + strip)
        if not breaching:
            continue
        worst = int(np.argmax(past))
        off = float(past[worst])
        if off > TOLERANCE_MM:
            found.append(Breach("off_plane", worst, breaching, off, edge, strip_mm=strip))
        else:
            found.append(Breach("in_keep_clear", worst, breaching, off + strip, edge, strip_mm=strip))
    return found


def _numbers(depth: NDArray[np.float64]) -> tuple[int, ...]:
    return tuple(np.flatnonzero(depth > TOLERANCE_MM).tolist())


def obstruction_names(roof: Roof) -> tuple[str, ...]:
    """A name of its own for every obstruction: its name, numbered where it has none or shares it."""
    names = [each.name for each in roof.obstructions]
    shared = Counter(name or "obstruction" for name in names)
    return tuple(
        (name if shared[name] == 1 else f"{name} {i + 1}") if name else say("obstruction {number}", number=i + 1)
        for i, name in enumerate(names)
    )


def _obstruction_breaches(rectangles: Rectangles, obstacles: Obstacles) -> list[Breach]:
    found = []
    for number in obstacles.reached(rectangles):
        depth = _depth(rectangles, obstacles.obstructions[number])
        breaching = _numbers(depth)
        if breaching:
            worst, name = int(np.argmax(depth)), obstacles.names[number]
            found.append(Breach("on_obstruction", worst, breaching, float(depth[worst]), obstruction=name))
    return found


def _depth(rectangles: Rectangles, each: Obstruction) -> NDArray[np.float64]:
    """How far each rectangle would have to move to clear the obstruction, the shortest way; negative where it does."""
    past_left = np.minimum(rectangles[:, 2] - each.x_mm, each.x_mm + each.width_mm - rectangles[:, 0])
    past_low = np.minimum(rectangles[:, 3] - each.y_mm, each.y_mm + each.height_mm - rectangles[:, 1])
    return np.minimum(past_left, past_low)
