"""A house's logo, whichever paper it heads: its size within a box, and the words that stand for it."""

from __future__ import annotations

from estimator.documents.language.texts import Reader
from estimator.pricebook import Logo, Seller

POINTS_A_PIXEL = 0.75
"""A pixel is never drawn larger than a 96th of an inch. Source: CSS Values and Units, the reference pixel."""


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
