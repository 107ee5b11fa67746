"""The documents of an offer, written into a folder."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import orjson

from estimator.comparison.records import Offer
from estimator.contract.answers.offers import offer_entry
from estimator.documents.header import OrderHeader, QuoteHeader
from estimator.orders import OrderedQuote, make_order_lists
from estimator.service.documents import KINDS
from estimator.service.order_documents import FORMS

FILES = {"workbook": "quote.xlsx"}
ON_THE_COMMAND_LINE = ("csv", "xlsx")


@dataclass(frozen=True, slots=True)
class Papers:
    """What was written, and where."""

    offer: Offer
    folder: Path
    files: tuple[Path, ...]


def write_papers(offer: Offer, on: date, folder: Path, tell: Callable[[str], None]) -> Papers:
    """Every document of an offer; a file of the same name is replaced."""
    folder.mkdir(parents=True, exist_ok=True)
    files = []
    for name, content in _documents(offer, on, tell):
        path = folder / name
        path.write_bytes(content)
        files.append(path)
    return Papers(offer, folder, tuple(files))


def _documents(offer: Offer, on: date, tell: Callable[[str], None]) -> Iterator[tuple[str, bytes]]:
    estimate = offer.estimate
    number = estimate.job.reference
    header = QuoteHeader(number, 1, "draft", on, estimate.provenance.valid_until, language=estimate.job.language)
    for kind in KINDS.values():
        name = FILES.get(kind.name, kind.file)
        tell(name)
        yield name, kind.write(offer, header, "estimator")
    tell("order lists")
    orders = make_order_lists([OrderedQuote(number, 1, estimate)], {}, on)
    for each in orders.lists:
        for form in (FORMS[name] for name in ON_THE_COMMAND_LINE if name in FORMS):
            if form.write is not None:
                file = f"order-list-{each.supplier.supplier}.{form.name}"
                yield file, form.write([each], OrderHeader(number, on, estimate.job.language))
    yield "estimate.json", orjson.dumps(offer_entry(offer, costs=True), option=orjson.OPT_INDENT_2) + b"\n"
