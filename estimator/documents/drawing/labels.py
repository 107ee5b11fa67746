"""Labels on a drawing: where each stands on the roof plane, how much room it takes, and a place that is still free.

Source: the convention of technical drawings that no text is crossed by another; the search (places in order of liking)
is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from estimator.documents.drawing.plan import Box
from estimator.documents.fonts.faces import BOLD, REGULAR, drawable, text_width

TEXT_MM = 2.1
ABOVE, BELOW = 0.78, 0.24
"""Of its size, what a line of text takes above and below its baseline. Source: measured on the faces' own figures."""
CLEAR_MM = 0.25
"""Paper kept free around a text."""
NEIGHBOUR_MM = 100.0
"""The widest gap of roof between two modules of a row that stand as one."""


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


def width_of(text: str, size_mm: float = TEXT_MM, bold: bool = False) -> float:
    """How wide a text stands on paper, mm."""
    return text_width(drawable(text), BOLD if bold else REGULAR, size_mm)


def box_of(label: Label, paper_mm: float) -> Box:
    """The room a label takes on the roof plane; ``paper_mm``: roof shown by a millimetre of paper.

    >>> x0, y0, x1, y1 = box_of(Label("eave", 100.0, 0.0, "start"), 50.0)
    >>> x0, round(y1 - y0)
    (100.0, 107)
    """
    wide = width_of(label.text, label.size_mm, label.bold) * paper_mm
    shift = {"start": 0.0, "middle": -wide / 2, "end": -wide}[label.anchor]
    up, down = ABOVE * label.size_mm * paper_mm, BELOW * label.size_mm * paper_mm
    if label.turned:
        return label.x - up, label.y + shift, label.x + down, label.y + shift + wide
    return label.x + shift, label.y - down, label.x + shift + wide, label.y + up


class FreeRoom:
    """What is taken on a drawing: modules, obstructions, labels; a label is put where nothing stands."""

    def __init__(self, modules: Sequence[Box], paper_mm: float, bounds: Box) -> None:
        self.paper_mm, self.bounds = paper_mm, bounds
        self._modules: NDArray[np.float64] = np.array(list(_joined(modules)), dtype=float).reshape(-1, 4)
        self._taken: list[Box] = []
        self.labels: list[Label] = []

    def is_free(self, label: Label, clear_mm: float = CLEAR_MM) -> bool:
        """Whether a label overprints nothing and stays on the drawing."""
        x0, y0, x1, y1 = box_of(label, self.paper_mm)
        low_x, low_y, high_x, high_y = self.bounds
        if x0 < low_x or y0 < low_y or x1 > high_x or y1 > high_y:
            return False
        more = clear_mm * self.paper_mm
        box = (x0 - more, y0 - more, x1 + more, y1 + more)
        if any(_overlap(box, other) for other in self._taken):
            return False
        at = self._modules
        return not bool(np.any((at[:, 0] < x1) & (at[:, 2] > x0) & (at[:, 1] < y1) & (at[:, 3] > y0)))

    def put(self, label: Label) -> None:
        """Write a label, free or not."""
        self.labels.append(label)
        self._taken.append(box_of(label, self.paper_mm))

    def put_first_free(self, candidates: Iterable[Label]) -> bool:
        """Write the first label that overprints nothing; False where none is free."""
        for label in candidates:
            if self.is_free(label):
                self.put(label)
                return True
        return False


def _joined(modules: Iterable[Box]) -> Iterator[Box]:
    """Modules beside one another in a row as one box; between them no text has room."""
    row: Box | None = None
    for box in modules:
        if row is not None and row[1] == box[1] and row[3] == box[3] and 0 <= box[0] - row[2] <= NEIGHBOUR_MM:
            row = (row[0], row[1], box[2], row[3])
            continue
        if row is not None:
            yield row
        row = box
    if row is not None:
        yield row


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and one[2] > other[0] and one[1] < other[3] and one[3] > other[1]
