"""A house's logo at the head of documents: on pages above the house's name, on a sheet at the right of its title.

It is told in words to whoever has the page read aloud, and its file goes in as it is, so that bytes repeat.
"""

from __future__ import annotations

import io
from typing import Any

from reportlab.lib.utils import ImageReader
from reportlab.platypus import Flowable

from estimator.documents.fonts.faces import drawable
from estimator.documents.language.texts import Reader
from estimator.documents.pdf.tags import Tags
from estimator.pricebook import Logo, Seller

PAGE_BOX = (130.0, 36.0)
"""Points that a logo may be wide and high on a page."""
POINTS_A_PIXEL = 0.75
"""A pixel is never drawn larger than a 96th of an inch. Source: CSS Values and Units, the reference pixel."""
BELOW = 4.0


def logo_words(seller: Seller, reader: Reader) -> str:
    """What stands for the logo where it is not seen."""
    return reader.texts.t("Logo of {name}", name=seller.name)


def size_within(logo: Logo, box: tuple[float, float]) -> tuple[float, float]:
    """Width and height in points: as large as the box and its pixels allow, its sides' ratio kept.

    >>> size_within(Logo(b"", "png", 600, 300), (130.0, 36.0))
    (72.0, 36.0)
    """
    scale = min(box[0] / logo.width, box[1] / logo.height, POINTS_A_PIXEL)
    return logo.width * scale, logo.height * scale


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
