"""The structure tree of a document as the texts of its objects, over the marks on its pages.

Source: ISO 32000-1, clauses 14.7 and 14.8.
"""

from __future__ import annotations

from collections.abc import Sequence

from estimator.documents.pdf.tags import Node


class StructureTree:
    """The tree's objects as texts, the root first; ``first`` is the number of the first one in the file."""

    def __init__(self, root: Node, first: int, pages: Sequence[int]) -> None:
        self.first = first
        self.texts: list[str] = [""]
        self._pages = pages
        self._parents: list[dict[int, int]] = [{} for _ in pages]
        self._hang(root)

    def _hang(self, root: Node) -> None:
        """Write every element, then which element owns which mark of each page."""
        top = self._element(root, self.first)
        numbers = []
        for at, marks in enumerate(self._parents):
            owners = " ".join(f"{marks[each]} 0 R" for each in sorted(marks))
            numbers.append(f"{at} {self._put(f'[{owners}]')} 0 R")
        parents = self._put(f"<</Nums[{' '.join(numbers)}]>>")
        self.texts[0] = (
            f"<</Type/StructTreeRoot/K[{top} 0 R]/ParentTree {parents} 0 R/ParentTreeNextKey {len(self._pages)}>>"
        )

    def _put(self, text: str) -> int:
        """The number of a new object."""
        self.texts.append(text)
        return self.first + len(self.texts) - 1

    def _element(self, node: Node, parent: int) -> int:
        own = self._put("")
        kids = []
        for kid in node.kids:
            if isinstance(kid, Node):
                kids.append(f"{self._element(kid, own)} 0 R")
            else:
                page, number = kid
                kids.append(f"<</Type/MCR/Pg {self._pages[page]} 0 R/MCID {number}>>")
                self._parents[page][number] = own
        more = f"/Alt<FEFF{node.alt.encode('utf-16-be').hex()}>" if node.alt else ""
        more += f"/A<</O/Table/Scope/{node.scope}>>" if node.scope else ""
        self.texts[own - self.first] = f"<</Type/StructElem/S/{node.role}/P {parent} 0 R{more}/K[{' '.join(kids)}]>>"
        return own
