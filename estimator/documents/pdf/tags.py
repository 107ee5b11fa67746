"""What a page is, for those who have it read aloud: headings, paragraphs, tables by row and cell, figures in words.

The PDF library draws; this marks what is drawn (marked content) while it is drawn; ``pdf_structure`` hangs a structure
tree over the marks afterwards. Source: ISO 32000-1, clauses 14.6 to 14.8. Conformance to PDF/UA is not claimed.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Paragraph


@dataclass(slots=True)
class Node:
    """One element of the structure: its role, the marks on pages (page, number) it holds, its children."""

    role: str
    kids: list[Node | tuple[int, int]] = field(default_factory=list)
    alt: str = ""
    scope: str = ""


class Tags:
    """Marks what one canvas draws. While something is being marked, what lies in it is not marked again."""

    def __init__(self) -> None:
        self.root = Node("Document")
        self.page = 0
        self.inside = False
        self._numbers: dict[int, int] = {}

    @contextmanager
    def marked(self, canvas: Canvas, node: Node) -> Iterator[None]:
        """Everything drawn within belongs to the node."""
        self.open(canvas, node)
        yield
        self.close(canvas)

    def open(self, canvas: Canvas, node: Node) -> None:
        """Begin to mark."""
        number = self._numbers.get(self.page, 0)
        self._numbers[self.page] = number + 1
        node.kids.append((self.page, number))
        canvas._code.append(f"/{node.role} <</MCID {number}>> BDC")
        self.inside = True

    def close(self, canvas: Canvas) -> None:
        """End what ``open`` or ``artifact`` began."""
        canvas._code.append("EMC")
        self.inside = False

    def artifact(self, canvas: Canvas) -> None:
        """Begin what is not to be read: feet, heads of tables repeated on later pages."""
        canvas._code.append("/Artifact BMC")
        self.inside = True

    def add(self, role: str, alt: str = "") -> Node:
        """A new element at the end of the document."""
        node = Node(role, alt=alt)
        self.root.kids.append(node)
        return node


class TaggedParagraph(Paragraph):  # type: ignore[misc]
    """A paragraph that says what it is; ``role`` belongs to the class, since a paragraph split over pages keeps it."""

    role = "P"

    def draw(self) -> None:
        """Draw it, marked unless it lies in something that is marked."""
        tags: Tags | None = getattr(self.canv, "tags", None)
        if tags is None or tags.inside:
            super().draw()
            return
        with tags.marked(self.canv, tags.add(self.role)):
            super().draw()


class TitleParagraph(TaggedParagraph):
    """The document's title."""

    role = "H1"


class HeadingParagraph(TaggedParagraph):
    """A heading."""

    role = "H2"


class TableTags:
    """Called by a table while it draws itself; pieces of a table split over pages share one, and so are one table."""

    def __init__(self, head_rows: int) -> None:
        self.head_rows = head_rows
        self.node: Node | None = None
        self.row: Node | None = None
        self.pieces = 0

    def __call__(self, table: Any, command: str, *place: Any) -> None:  # noqa: ANN401
        """One event of the drawing: ``place`` is the row, and the column for cells."""
        tags: Tags | None = getattr(table.canv, "tags", None)
        if tags is None:
            return
        if command == "startCell":
            self._start_cell(tags, table.canv, place[0])
        elif command == "endCell":
            tags.close(table.canv)
        elif command == "startRow":
            self.row = None if self._repeats(place[0]) else Node("TR")
            if self.row is not None and self.node is not None:
                self.node.kids.append(self.row)
        elif command == "startTable":
            self.pieces += 1
            self.node = self.node or tags.add("Table")

    def _repeats(self, row: int) -> bool:
        return self.pieces > 1 and row < self.head_rows

    def _start_cell(self, tags: Tags, canvas: Canvas, row: int) -> None:
        if self.row is None:
            tags.artifact(canvas)
            return
        cell = Node("TH", scope="Column") if row < self.head_rows else Node("TD")
        self.row.kids.append(cell)
        tags.open(canvas, cell)
