"""A house's logo at the head of pages, above the house's name.

It is told in words to whoever has the page read aloud, and its file goes in as it is, so that bytes repeat.
"""

from __future__ import annotations

import io
from typing import Any

from reportlab.lib.utils import ImageReader
from reportlab.platypus import Flowable

from estimator.documents.fonts.faces import drawable
from estimator.documents.language.texts import Reader
from estimator.documents.logo import logo_words, size_within
from estimator.documents.pdf.tags import Tags
from estimator.pricebook import Logo, Seller

PAGE_BOX = (130.0, 36.0)
"""Points that a logo may be wide and high on a page."""
BELOW = 4.0


class LogoMark(Flowable):  # type: ignore[misc]
    """A logo on the page, a figure to whoever has it read aloud."""

    def __init__(self, logo: Logo, words: str) -> None:
        super().__init__()
        self.logo, self.words = logo, words

    def wrap(self, _wide: float, _high: float) -> tuple[float, float]:
        """Its size, and a little room below it."""
        self.width, high = size_within(self.logo, PAGE_BOX)
        self.height = high + BELOW
        return self.width, self.height

    def draw(self) -> None:
        """Draw it at the left."""
        tags: Tags | None = getattr(self.canv, "tags", None)
        if tags is None or tags.inside:
            self._draw()
            return
        with tags.marked(self.canv, tags.add("Figure", drawable(self.words))):
            self._draw()

    def _draw(self) -> None:
        wide, high = size_within(self.logo, PAGE_BOX)
        image = ImageReader(io.BytesIO(self.logo.content))
        self.canv.drawImage(image, 0, BELOW, wide, high, mask="auto")


def logo_marks(seller: Seller, reader: Reader) -> list[Any]:
    """The seller's logo for the head of a page; nothing where it has none."""
    return [LogoMark(seller.logo, logo_words(seller, reader))] if seller.logo else []
