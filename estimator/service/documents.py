"""The documents of a quote. Once a quote is issued, what was handed out first is handed out for ever."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy.exc import IntegrityError

from estimator.comparison.records import Offer
from estimator.documents.header import Edition, QuoteHeader
from estimator.service import writers
from estimator.service.context import Client, ServiceContext
from estimator.service.stored_quotes import StoredQuote, cards, find_quote, whole
from estimator.storage import tables

Write = Callable[[Offer, QuoteHeader, Edition], bytes]


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of document: how it is named, what it is, how it is written. ``editions``: whether they differ."""

    name: str
    file: str
    media: str
    about: str
    write: Write
    editions: bool = False

    @property
    def ending(self) -> str:
        """The file's ending."""
        return self.file.rpartition(".")[2]


XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("workbook", "workbook.xlsx", XLSX, "The quote as a workbook", writers.workbook, editions=True),
        Kind("quote_pdf", "quote.pdf", "application/pdf", "The quote for the customer", writers.quote),
        Kind("plan_svg", "plan.svg", "image/svg+xml", "The plan of the roofs", writers.plan_svg),
        Kind("plan_dxf", "plan.dxf", "image/vnd.dxf", "The plan for a drawing program", writers.plan_dxf),
        Kind("setting_out", "setting-out.pdf", "application/pdf", "The setting-out sheet", writers.setting_out),
        Kind("calculation", "calculation.pdf", "application/pdf", "The load calculation", writers.calculation),
        Kind("saw_list_pdf", "saw-list.pdf", "application/pdf", "The saw list for the shop", writers.saw_list_pdf),
        Kind("saw_list", "saw-list.csv", "text/csv", "What the saw cuts", writers.saw_list),
        Kind("quotation", "quotation.xml", "application/xml", "The quotation as UBL 2.1", writers.quotation),
    )
}


def quote_document(
    context: ServiceContext, client: Client, quote_id: str, name: str, edition: Edition
) -> tuple[str, bytes]:
    """A document's file name and bytes. Errors: NotFound."""
    kind = KINDS[name]
    kept_edition = edition if kind.editions else "customer"
    with context.reading() as session:
        row = find_quote(session, client, quote_id)
        card = cards(session, [row], context.today())[0]
        kept = session.get(tables.QuoteDocumentRow, (row.id, name, kept_edition))
        if kept is not None:
            return _file_name(card, kind), kept.content
        quote = whole(session, row, context.today())
    content = kind.write(quote.offer, quote.header, edition)
    if row.state != "draft":
        content = _keep(context, quote_id, (name, kept_edition), content)
    return _file_name(card, kind), content


def _keep(context: ServiceContext, quote_id: str, what: tuple[str, str], content: bytes) -> bytes:
    """Keep what is handed out first; where somebody was quicker, theirs is the first."""
    try:
        with context.writing() as session:
            kept = session.get(tables.QuoteDocumentRow, (quote_id, *what))
            if kept is not None:
                return kept.content
            session.add(
                tables.QuoteDocumentRow(
                    quote_id=quote_id, kind=what[0], edition=what[1], content=content, created_at=context.clock()
                )
            )
    except IntegrityError:
        with context.reading() as session:
            return session.get_one(tables.QuoteDocumentRow, (quote_id, *what)).content
    return content


def _file_name(card: StoredQuote, kind: Kind) -> str:
    stem = kind.file.rpartition(".")[0]
    return f"{card.number}-{card.revision}-{stem}.{kind.ending}"
