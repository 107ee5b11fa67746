"""The documents of an offer, written into a folder."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import orjson

from estimator.comparison.records import FIRST, Offer
from estimator.contract.answers.offer.offer import offer_entry
from estimator.documents.header import OrderHeader, QuoteHeader
from estimator.documents.papers import ORDER_FORMS, QUOTE_FORMS
from estimator.documents.purchasing.facts import for_supplier
from estimator.orders import OrderedQuote, make_order_lists


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
    header = replace(header, prepared_by=estimate.choices.prepared_by)
    first = replace(header, option=FIRST if offer.options else "")
    for form in QUOTE_FORMS.values():
        tell(form.file)
        yield form.file, form.write(offer, first if form.as_built else header, "estimator")
        for option in offer.options if form.as_built else ():
            its_own = replace(offer, estimate=option.estimate), replace(header, option=option.letter)
            stem, dot, ending = form.file.rpartition(".")
            yield f"{stem}-{option.letter}{dot}{ending}", form.write(*its_own, "estimator")
    tell("order lists")
    orders = make_order_lists([OrderedQuote(number, 1, estimate)], {}, on)
    for each in orders.lists:
        for early in (form for form in ORDER_FORMS.values() if form.early):
            file = f"{early.stem}-{each.supplier.supplier}.{early.ending}"
            own, head = for_supplier(each, OrderHeader(number, on, estimate.job.language))
            yield file, early.write([own], head, ())
    yield "estimate.json", orjson.dumps(offer_entry(offer, costs=True), option=orjson.OPT_INDENT_2) + b"\n"
