"""Pricing: editions and where they stand, new ones from files or a supplier's list, differences with their effect."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Response

from estimator.contract.faults import read
from estimator.contract.problems.documents import problem_of
from estimator.contract.requests.editions import ListColumnsSchema
from estimator.contract.requests.queries import PriceListQuerySchema
from estimator.errors import EstimatorError, NotFound
from estimator.pricebook.against import alarms_first
from estimator.sentences import say
from estimator.service import editions, pricebooks
from estimator.service.catalogue import EditionSummary
from estimator.service.context import store_nothing
from estimator.service.price_lists import NewEdition
from estimator.service.quoting.edition_effects import EditionComparison, compare_editions
from estimator.service.quoting.stored.costs import CostsPending
from estimator.web.edition_view import ChangedValue, edition_view
from estimator.web.quote_view import house_reader
from estimator.web.routes import Pages
from estimator.web.visits import Visit, sent_on

pages = Pages()
COLUMNS = ("part", "cost", "unit", "currency", "pack", "price_per", "from_quantity", "sheet", "header_row")


@pages.get("/pricebooks", "pricebooks:read")
def show_pricebooks(visit: Visit) -> Response:
    """Every edition, from when it is in force and where it stands."""
    return _books(visit)


@pages.post("/pricebooks", "pricebooks:write")
def put_edition_in(visit: Visit) -> Response:
    """An edition from a ZIP archive, or from the files of its folder."""
    try:
        book = pricebooks.upload_edition(
            visit.context, visit.client, pricebooks.archive_of(_files(visit)), store_nothing
        )
    except EstimatorError as refusal:
        return _books(visit, problem=problem_of(refusal))
    return sent_on(f"/pricebooks/{book.id}/{book.edition}")


@pages.get("/pricebooks/<pricebook>/<edition>", "pricebooks:read")
def show_edition(visit: Visit) -> Response:
    """One edition: its days, what it offers; what it changes against the one before, and for which open quotes."""
    return _edition(visit)


@pages.post("/pricebooks/<pricebook>/<edition>/approve", "pricebooks:approve")
def approve_edition_page(visit: Visit) -> Response:
    """Approve an edition that another person uploaded."""
    return _decided(visit, editions.approve_edition)


@pages.post("/pricebooks/<pricebook>/<edition>/withdraw", "pricebooks:write")
def withdraw_edition_page(visit: Visit) -> Response:
    """Withdraw an edition: nothing new is priced by it."""
    return _decided(visit, editions.withdraw_edition)


@pages.post("/pricebooks/<pricebook>/<edition>/price-list", "pricebooks:write")
def put_price_list_in(visit: Visit) -> Response:
    """A new edition from this one and a supplier's price list, its columns told or remembered."""
    form, file = visit.form, visit.files.get("list")
    named = {name: form[name] for name in ("supplier", "new_edition", "valid_from", "valid_until") if form.get(name)}
    told = _told(form)
    try:
        query = read(PriceListQuerySchema(), named)
        if told.keys() - {"decimal_sign"}:
            columns = read(ListColumnsSchema(), told)
            pricebooks.remember_columns(visit.context, visit.client, query["supplier"], columns, store_nothing)
        new = NewEdition(query["new_edition"], query["valid_from"], query["valid_until"])
        posted = pricebooks.PostedList(query["supplier"], file.read() if file else b"", new)
        book, report = pricebooks.upload_price_list(
            visit.context, visit.client, _named(visit), posted, lambda _session, _made: None
        )
    except EstimatorError as refusal:
        return _edition(visit, problem=problem_of(refusal))
    return visit.page("price_list.html", book=book, report=report)


def _told(form: Mapping[str, str]) -> dict[str, Any]:
    """What the supplier calls its columns and units, as far as the form says."""
    told: dict[str, Any] = {name: form[f"column/{name}"] for name in COLUMNS if form.get(f"column/{name}", "").strip()}
    if told.get("header_row", "").strip().isdecimal():
        told["header_row"] = int(told["header_row"])
    lines = [line.partition("=") for line in form.get("units", "").splitlines() if line.strip()]
    if lines:
        told["units"] = {word.strip(): code.strip() for word, _, code in lines}
    columns = [line.rpartition("=") for line in form.get("breaks", "").splitlines() if line.strip()]
    if columns:
        told["breaks"] = [{"column": name.strip(), "from": _whole(quantity)} for name, _, quantity in columns]
    if form.get("decimal_sign"):
        told["decimal_sign"] = form["decimal_sign"]
    return told


def _whole(text: str) -> int | str:
    """A number, or the text for the reader to refuse."""
    return int(text) if text.strip().isascii() and text.strip().isdigit() else text.strip()


def _decided(visit: Visit, decide: Any) -> Response:  # noqa: ANN401
    reason = visit.form.get("reason", "").strip()[:1_000]
    try:
        decide(visit.context, visit.client, _named(visit), reason, store_nothing)
    except EstimatorError as refusal:
        return _edition(visit, problem=problem_of(refusal))
    return sent_on(f"/pricebooks/{visit.path['pricebook']}/{visit.path['edition']}")


def _books(visit: Visit, **more: Any) -> Response:  # noqa: ANN401
    found = visit.context.catalogue.summaries(visit.client.organisation)
    books: dict[str, list[EditionSummary]] = {}
    for each in sorted(found, key=lambda each: each.valid_from, reverse=True):
        books.setdefault(each.id, []).append(each)
    problem = more.get("problem")
    return visit.page(
        "pricebooks.html", problem.status if problem else 200, books=books, today=visit.context.today(), **more
    )


def _edition(visit: Visit, **more: Any) -> Response:  # noqa: ANN401
    house = visit.client.organisation
    book = visit.context.catalogue.get(house, *_named(visit))
    found = [each for each in visit.context.catalogue.summaries(house) if each.id == book.id]
    summary = next((each for each in found if each.edition == book.edition), None)
    if summary is None:
        raise NotFound(say("no such edition"))
    wanted = visit.args.get("with") or editions.edition_before(visit.context, visit.client, book)
    compared = None
    if wanted and visit.may("costs:read"):
        try:
            compared = compare_editions(visit.context, visit.client, _named(visit), wanted)
        except CostsPending as pending:
            more.setdefault("problem", problem_of(pending))
    problem = more.get("problem")
    return visit.page(
        "edition.html", problem.status if problem else 200, book=book, summary=summary, others=found,
        compared=compared, differences=_differences(visit, compared),
        columns=COLUMNS, typed=visit.form, allowed=editions.deeds_of(visit.client, summary.standing), **more,
    )  # fmt: skip


def _differences(visit: Visit, compared: EditionComparison | None) -> tuple[ChangedValue, ...]:
    if compared is None:
        return ()
    currencies = (compared.before.currency, compared.after.currency)
    return edition_view(alarms_first(compared.differences), currencies, house_reader(visit))


def _named(visit: Visit) -> tuple[str, str]:
    return visit.path["pricebook"], visit.path["edition"]


def _files(visit: Visit) -> list[tuple[str, bytes]]:
    """What was chosen: names and contents."""
    return [(file.filename, file.read()) for file in visit.files.getlist("files") if file.filename]
