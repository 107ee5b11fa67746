"""Thousands of closed rectangles and block references as DXF text, set among the entities a library wrote.

An entity object each costs the library fifty times the text itself and most of the memory; a large roof has seventy
thousand. Everything else of the file (header, tables, blocks, texts) stays the library's. Source: DXF reference AC1024,
entities LWPOLYLINE and INSERT; the library's own audit is held against the result in the tests.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from ezdxf.document import Drawing

from estimator.documents.drawing.plan import Box, Point

_SECTION = "  2\nENTITIES\n"
_END = "  0\nENDSEC\n"


class BulkEntities:
    """Collects entities of the model space, and writes them into the text of the finished drawing."""

    def __init__(self, document: Drawing) -> None:
        self.document = document
        self.owner = document.modelspace().layout_key
        self.texts: list[str] = []

    def rectangles(self, layer: str, boxes: Iterable[Box], left: float) -> None:
        """One closed polyline of four corners a box."""
        for head, (x0, y0, x1, y1) in zip(self._heads("LWPOLYLINE", layer), boxes, strict=False):
            a, b = x0 + left, x1 + left
            self.texts.append(
                f"{head}100\nAcDbPolyline\n 90\n4\n 70\n1\n"
                f" 10\n{a:.3f}\n 20\n{y0:.3f}\n 10\n{b:.3f}\n 20\n{y0:.3f}\n"
                f" 10\n{b:.3f}\n 20\n{y1:.3f}\n 10\n{a:.3f}\n 20\n{y1:.3f}\n"
            )

    def references(self, layer: str, block: str, points: Iterable[Point], left: float) -> None:
        """One reference to a block at each point."""
        for head, (x, y) in zip(self._heads("INSERT", layer), points, strict=False):
            self.texts.append(
                f"{head}100\nAcDbBlockReference\n  2\n{block}\n 10\n{x + left:.3f}\n 20\n{y:.3f}\n 30\n0.0\n"
            )

    def _heads(self, kind: str, layer: str) -> Iterator[str]:
        """What every entity begins with; handles come from the drawing, so that none is given twice."""
        handles = self.document.entitydb.handles
        while True:
            yield f"  0\n{kind}\n  5\n{handles.next()}\n330\n{self.owner}\n100\nAcDbEntity\n  8\n{layer}\n"

    def within(self, drawing: str) -> str:
        """The drawing's text with the entities at the end of its section of entities."""
        at = drawing.index(_END, drawing.index(_SECTION))
        return drawing[:at] + "".join(self.texts) + drawing[at:]
