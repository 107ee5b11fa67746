"""Accepted quotes by hand: screws and nuts of two suppliers, or rail runs with their cut plan."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from types import SimpleNamespace

from estimator.buying import buy
from estimator.freight import charge_freight
from estimator.job import Site, Wishes
from estimator.labour import no_labour
from estimator.orders import OrderedQuote
from estimator.pricebook import PriceBreak, Supplier
from estimator.pricing import price
from estimator.takeoff.records import NetLine
from tests.builders import a_book, a_job, a_part

TODAY = date(2026, 11, 25)


def an_order_book(**changes):
    """Screws in packs of 100 with a break at 500, nuts in packs of 50 from another supplier; no spares."""
    screws = replace(a_part("SC", "screw", None, 0.01, "0.10", 100), breaks=(PriceBreak(500, Decimal("0.08")),))
    nuts = replace(a_part("N", "nut", None, 0.02, "0.20", 50), supplier="S-2", lead_time_days=30)
    suppliers = {name: Supplier(name, f"Supplier {name}", lead_time_days=10, country="DE") for name in ("S-1", "S-2")}
    parts = {"SC": screws, "N": nuts}
    return replace(a_book(spares={}, tiers={}), parts=parts, suppliers=suppliers, **changes)


def a_quote(number, screws, nuts=0, book=None, needed_on="2027-03-15", changes=(), **site):
    """An accepted quote that needs so many screws and nuts."""
    book = book or an_order_book()
    lines = buy([NetLine("SC", "screw", screws, ()), NetLine("N", "nut", nuts, ())], book, changes)
    job = a_job(site=Site(needed_on=needed_on, freight_zone="near", **site))
    bill = price(lines, charge_freight(lines, book, "near"), no_labour(book), book, Wishes())
    return OrderedQuote(number, 1, SimpleNamespace(book=book, bill=bill, job=job))
