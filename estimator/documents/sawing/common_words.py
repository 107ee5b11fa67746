"""What is said of rails cut from common bars, who reads it, and on which paper."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.documents import style
from estimator.documents.header import OrderHeader
from estimator.documents.language.texts import Reader, mark, reader_for
from estimator.documents.sawing.common_rails import SawnRail

MOVED = mark(
    "Joints stand elsewhere than on the setting-out sheets of these quotes: this list holds, and so do its joints."
)
ALIKE = mark(
    "Equal pieces of bars cut alike stand together: mark as many of them for each job as are listed, with the places."
)
OWN_LISTS = mark("Quotes that are not named here are cut by their own saw lists.")


def saw_reader(rails: Sequence[SawnRail], header: OrderHeader) -> Reader:
    """Who reads it: the house's own shop."""
    sheet = rails[0].sheet
    return reader_for(header.language, sheet.house.country, sheet.units, sheet.texts)


def saw_paper(rails: Sequence[SawnRail], header: OrderHeader) -> str:
    """The paper asked for, else that of the house's country."""
    return header.paper or style.paper_for(rails[0].sheet.house.country)
