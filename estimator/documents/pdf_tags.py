"""What a page is, for those who have it read aloud: headings, paragraphs, tables by row and cell, figures in words.

The PDF library draws; this marks what is drawn (marked content) while it is drawn, and hangs a structure tree over the
marks afterwards. Source: ISO 32000-1, clauses 14.6 to 14.8. Conformance to PDF/UA is not claimed.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name, String
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
        if command == "startTable":
            self.pieces += 1
            self.node = self.node or tags.add("Table")
        elif command == "startRow":
            self.row = None if self._repeats(place[0]) else Node("TR")
            if self.row is not None and self.node is not None:
                self.node.kids.append(self.row)
        elif command == "startCell":
            self._start_cell(tags, table.canv, place[0])
        elif command == "endCell":
            tags.close(table.canv)

    def _repeats(self, row: int) -> bool:
        return self.pieces > 1 and row < self.head_rows

    def _start_cell(self, tags: Tags, canvas: Canvas, row: int) -> None:
        if self.row is None:
            tags.artifact(canvas)
            return
        cell = Node("TH", scope="Column") if row < self.head_rows else Node("TD")
        self.row.kids.append(cell)
        tags.open(canvas, cell)


def with_structure(pdf: bytes, tags: Tags) -> bytes:
    """The file with its structure tree, its parts packed; the same file and tags give the same bytes."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        _Tree(document).hang(tags.root)
        document.Root.MarkInfo = Dictionary(Marked=True)
        document.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
        out = io.BytesIO()
        document.save(out, object_stream_mode=pikepdf.ObjectStreamMode.generate, deterministic_id=True)
    return out.getvalue()


class _Tree:
    """Builds the structure tree of one file."""

    def __init__(self, document: pikepdf.Pdf) -> None:
        self.document = document
        self.pages = [page.obj for page in document.pages]
        self.parents: list[dict[int, pikepdf.Object]] = [{} for _ in self.pages]

    def hang(self, root: Node) -> None:
        tree = self.document.make_indirect(Dictionary(Type=Name.StructTreeRoot))
        tree.K = Array([self._element(root, tree)])
        numbers = Array()
        for at, (page, marks) in enumerate(zip(self.pages, self.parents, strict=True)):
            page.StructParents = at
            page.Tabs = Name.S
            numbers.append(at)
            numbers.append(self.document.make_indirect(Array([marks[each] for each in sorted(marks)])))
        tree.ParentTree = self.document.make_indirect(Dictionary(Nums=numbers))
        tree.ParentTreeNextKey = len(self.pages)
        self.document.Root.StructTreeRoot = tree

    def _element(self, node: Node, parent: pikepdf.Object) -> pikepdf.Object:
        element = self.document.make_indirect(Dictionary(Type=Name.StructElem, S=Name(f"/{node.role}"), P=parent))
        if node.alt:
            element.Alt = String(node.alt)
        if node.scope:
            element.A = Dictionary(O=Name.Table, Scope=Name(f"/{node.scope}"))
        kids = Array()
        for kid in node.kids:
            if isinstance(kid, Node):
                kids.append(self._element(kid, element))
            else:
                page, number = kid
                kids.append(Dictionary(Type=Name.MCR, Pg=self.pages[page], MCID=number))
                self.parents[page][number] = element
        element.K = kids
        return element
