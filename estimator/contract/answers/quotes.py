"""Jobs, quotes, their differences, editions and order lists as JSON."""

from __future__ import annotations

from dataclasses import fields
from datetime import datetime
from decimal import Decimal
from typing import Any

from estimator.contract.answers.bill import money, plain
from estimator.contract.answers.offers import offer_entry
from estimator.documents.paper import OrderForm
from estimator.documents.papers import ORDER_FORMS, QUOTE_FORMS
from estimator.documents.workbook_reading import WorkbookChanges
from estimator.money import minor_digits
from estimator.orders import CommonCut, OrderLine, OrderList
from estimator.pricebook import Book, Bracket, Rail
from estimator.service.catalogue import EditionSummary
from estimator.service.differences import Differences, LineChanged
from estimator.service.jobs import StoredJob
from estimator.service.order_lists import StoredOrderList
from estimator.service.stored_quotes import StoredQuote, WholeQuote

Entry = dict[str, Any]
GUARDED_CHOICES = ("margin",)
GUARDED_TOTALS = ("cost", "margin", "margin_rate")


def job_entry(job: StoredJob) -> Entry:
    """A job as it was posted."""
    return {
        "id": job.id,
        "reference": job.reference,
        "title": job.title,
        "version": job.version,
        "created_at": _instant(job.created_at),
        "updated_at": _instant(job.updated_at),
        "job": job.document,
        "links": {"self": f"/v1/jobs/{job.id}", "quotes": f"/v1/quotes?job={job.id}"},
    }


def quote_card(card: StoredQuote, *, costs: bool) -> Entry:
    """A quote without its estimate."""
    choices = {name: value for name, value in card.choices.items() if costs or name not in GUARDED_CHOICES}
    return {
        "id": card.id,
        "job": card.job_id,
        "number": card.number,
        "revision": card.revision,
        "revises": card.revises_id,
        "state": card.state,
        "version": card.version,
        "pricebook": card.pricebook,
        "edition": card.edition,
        "currency": card.currency,
        "total": f"{card.total:.{minor_digits(card.currency)}f}",
        "standing_errors": card.errors,
        "choices": choices,
        "prepared_by": card.prepared_by,
        "dated": card.dated.isoformat(),
        "valid_until": card.valid_until.isoformat(),
        "created_at": _instant(card.created_at),
        "issued_at": _instant(card.issued_at),
        "answered_at": _instant(card.answered_at),
        "order_list": card.order_list_id,
        "links": _links(card),
    }


def _links(card: StoredQuote) -> Entry:
    here = f"/v1/quotes/{card.id}"
    return {
        "self": here,
        "job": f"/v1/jobs/{card.job_id}",
        **{form.called: f"{here}/{form.file}" for form in QUOTE_FORMS.values()},
        "comparison": f"{here}/comparison",
    }


def quote_entry(whole: WholeQuote, *, costs: bool) -> Entry:
    """A quote with its estimate."""
    estimate = whole.offer.estimate
    overrides = [
        {"code": each.code, "where": each.where, "reason": each.reason, "by": each.by} for each in estimate.overridden
    ]
    return {
        **quote_card(whole.card, costs=costs),
        "overrides": overrides,
        "estimate": offer_entry(whole.offer, costs=costs),
    }


def etag_of(card: StoredQuote) -> str:
    """The version of a quote; an issued quote that has expired is another answer though nothing was written."""
    return f"v{card.version}" + ("-expired" if card.state == "expired" else "")


def differences_entry(found: Differences, *, costs: bool) -> Entry:
    """What changed."""
    entry: Entry = {
        each.name: [
            {"place": change.place, "before": change.before, "after": change.after}
            for change in getattr(found, each.name)
        ]
        for each in fields(found)
        if each.name != "lines"
    }
    if not costs:
        entry["choices"] = [each for each in entry["choices"] if each["place"][1:] not in GUARDED_CHOICES]
        entry["totals"] = [each for each in entry["totals"] if each["place"][1:] not in GUARDED_TOTALS]
    entry["lines"] = [_line_changed(each) for each in found.lines if costs or _tells(each)]
    return entry


def edition_entry(card: EditionSummary) -> Entry:
    """An edition on a list."""
    return {
        "id": card.id,
        "edition": card.edition,
        "title": card.title,
        "currency": card.currency,
        "country": card.country,
        "valid_from": card.valid_from.isoformat(),
        "valid_until": card.valid_until.isoformat(),
        "sha256": card.sha256,
        "uploaded": card.uploaded,
        "links": {"self": f"/v1/pricebooks/{card.id}/editions/{card.edition}"},
    }


def book_entry(book: Book) -> Entry:
    """What an edition offers, without its prices."""
    return {
        "id": book.id,
        "edition": book.edition,
        "title": book.title,
        "currency": book.currency,
        "country": book.seller.country,
        "valid_from": book.valid_from.isoformat(),
        "valid_until": book.valid_until.isoformat(),
        "sha256": book.sha256,
        "invented": book.invented,
        "seller": book.seller.name,
        "tiers": sorted(book.tiers),
        "freight_zones": sorted({rate.zone for rate in book.freight}),
        "brackets": [_bracket(each) for each in book.brackets.values()],
        "rails": [_rail(each) for each in book.rails.values()],
        "parts": [
            {"part": each.part, "role": each.role, "description": each.description, "unit": each.unit}
            for each in book.parts.values()
        ],
    }


def _bracket(bracket: Bracket) -> Entry:
    return {
        "part": bracket.part,
        "name": bracket.name,
        "material": bracket.material,
        "arrangements": sorted(bracket.heights_mm),
        "crown_width": list(bracket.crown_width_mm),
        "rib_height": list(bracket.rib_height_mm),
        "web_angle": list(bracket.web_angle_deg),
        "sheet_materials": sorted(bracket.sheet_materials),
        "sheet_thickness": list(bracket.sheet_thickness_mm),
    }


def _rail(rail: Rail) -> Entry:
    return {
        "rail": rail.rail,
        "name": rail.name,
        "material": rail.material,
        "arrangements": sorted(rail.arrangements),
        "height": rail.height_mm,
        "stock_lengths": sorted(stock.length_mm for stock in rail.stocks),
    }


def order_list_entry(kept: StoredOrderList) -> Entry:
    """An order list with what each supplier is to deliver."""
    here = f"/v1/order-lists/{kept.id}"
    return {
        "id": kept.id,
        "number": kept.number,
        "quotes": list(kept.quotes),
        "created_at": _instant(kept.created_at),
        "version": kept.version,
        "suppliers": [_list(each, here) for each in kept.lists.lists],
        "checks": [
            {"code": each.code, "severity": each.severity, "message": each.message, "where": each.where}
            for each in kept.lists.findings
        ],
        "left_in_stock": dict(kept.lists.left_in_stock),
        "from_yard": [_order_line(line) for line in kept.lists.from_yard],
        "cut_together": [_common_cut(each) for each in kept.lists.together],
        "links": {
            "self": here,
            **{form.called: f"{here}/{form.file}" for form in ORDER_FORMS.values() if _is_there(form, kept)},
        },
    }


def _is_there(form: OrderForm, kept: StoredOrderList) -> bool:
    """Whether the whole list has this form: what goes to one supplier, and cut rails where none are cut, are not."""
    if form.to_one:
        return len(kept.lists.lists) == 1
    return form.of_supplier or any(each.used and each.sheet for each in kept.lists.together)


def _common_cut(common: CommonCut) -> Entry:
    """One rail cut over several quotes: what it takes, what apart would take, and the saving."""
    comparisons = {"together": common.together, "apart": common.apart}
    costs = {
        name: {
            "bars": way.bars,
            "length": way.length_mm,
            "reusable": way.reusable_mm,
            "splices": way.splices,
            "bars_cost": money(way.bars_cost),
            "offcut_value": money(way.offcut_value),
        }
        for name, way in comparisons.items()
    }
    return {
        "rail": common.rail,
        "quotes": list(common.quotes),
        "used": common.used,
        "why": list(common.why),
        "joints_moved": common.joints_moved,
        "bars": [{"part": each.part, "length": each.length_mm, "count": each.count} for each in common.bars],
        **costs,
        "saving": money(common.saving),
        "bars_saved": common.bars_saved,
        "length_saved": common.length_saved_mm,
        "proven_optimal": common.plan.proven_optimal,
    }


def _list(each: OrderList, here: str) -> Entry:
    name = each.supplier.supplier
    return {
        "supplier": name,
        "name": each.supplier.name,
        "currency": each.currency,
        "lines": [_order_line(line) for line in each.lines],
        "total": money(each.total),
        "mass": each.mass_kg,
        "needed_on": each.needed_on.isoformat() if each.needed_on else None,
        "order_by": each.order_by.isoformat() if each.order_by else None,
        "ship_to": list(each.ship_to),
        "country": each.country,
        "links": {
            form.called: f"{here}/suppliers/{form.address(name)}" for form in ORDER_FORMS.values() if form.of_supplier
        },
    }


def _order_line(line: OrderLine) -> Entry:
    return {
        "part": line.part,
        "supplier_part": line.supplier_part,
        "description": line.description,
        "role": line.role,
        "unit": line.unit,
        "required": line.required,
        "from_stock": line.from_stock,
        "pack_size": line.pack_size,
        "packs": line.packs,
        "ordered": line.ordered,
        "unit_cost": plain(line.unit_cost),
        "cost": money(line.cost),
        "mass": line.mass_kg,
        "length": line.length_mm,
        "country_of_origin": line.country_of_origin,
        "order_by": line.order_by.isoformat() if line.order_by else None,
        "shares": [{"quote": each.quote, "required": each.required} for each in line.shares],
        "why": list(line.why),
    }


def _line_changed(each: LineChanged) -> Entry:
    return {
        "part": each.part,
        "description": each.description,
        **{
            name: None
            if line is None
            else {
                "net": line.line.net,
                "ordered": line.line.ordered,
                "unit_price": plain(line.unit_price),
                "discount": plain(line.discount),
                "price": money(line.price),
            }
            for name, line in (("before", each.before), ("after", each.after))
        },
    }


def _tells(each: LineChanged) -> bool:
    """Whether a change shows without costs."""
    shown = _line_changed(each)
    return bool(shown["before"] != shown["after"])


def _instant(moment: datetime | None) -> str | None:
    return moment.isoformat().replace("+00:00", "Z") if moment else None


def changes_entry(changes: WorkbookChanges) -> Entry:
    """What was taken from a workbook that came back, cell by cell, and what was changed in vain."""
    return {
        "changes": [
            {
                "part": each.part,
                "field": each.field,
                "old": _figure(each.old),
                "new": _figure(each.new),
                "cell": each.cell,
                "reason": each.reason,
            }
            for each in changes.changes
        ],
        "not_taken": [
            {"name": each.name, "old": _figure(each.old), "found": each.found, "cell": each.cell}
            for each in changes.not_taken
        ],
    }


def _figure(value: object) -> object:
    return f"{value:f}" if isinstance(value, Decimal) else value
