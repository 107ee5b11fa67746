"""The head of a sheet that goes with a quote: setting-out, calculation, saw list."""

from __future__ import annotations

from estimator.documents.header import QuoteHeader
from estimator.documents.language.texts import Reader
from estimator.documents.language.words import INVENTED
from estimator.documents.pdf.page import PageHead
from estimator.estimate import Estimate

BUILDABLE = frozenset({"issued", "accepted"})
"""States of a quote that may be built from."""


def number_line(header: QuoteHeader, reader: Reader) -> str:
    """Number and revision below a sheet's title, and the option that it is of."""
    t = reader.texts.t
    line = t("{number}, revision {revision}", number=header.number, revision=header.revision)
    return f"{line} · {t('Option {letter}', letter=header.option)}" if header.option else line


def sheet_head(
    estimate: Estimate, header: QuoteHeader, reader: Reader, paper: str, name: str, mark: str, more: str = ""
) -> PageHead:
    """What every page of a sheet says.

    Args:
        estimate: what the sheet is of.
        header: the quote's head.
        reader: who reads it.
        paper: the paper it is printed on.
        name: the sheet's name with the quote's number, in the reader's language.
        mark: what is marked on every page, in the reader's language; empty for nothing.
        more: what the foot says besides.

    """
    t = reader.texts.t
    name = f"{name}, {t('Option {letter}', letter=header.option)}" if header.option else name
    marks = (mark, t(INVENTED) if estimate.invented else "")
    return PageHead(
        paper=paper,
        language=reader.texts.locale.replace("_", "-"),
        title=f"{name}: {estimate.job.title}",
        author=estimate.seller.name,
        dated=header.dated,
        foot=f"{name} · {estimate.job.title}{more}",
        page_of=t("Page {page} of {pages}"),
        marks=tuple(text for text in marks if text),
        subject=estimate.job.title,
    )
