"""Accepted quotes by hand: screws and nuts of two suppliers, or rail runs with their cut plan."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from types import SimpleNamespace

from estimator.buying import buy
from estimator.cutting.plan.planning import plan_cuts
from estimator.cutting.records import CutRun
from estimator.freight import charge_freight
from estimator.job import Choices, Site
from estimator.labour import no_labour
from estimator.orders import OrderedQuote
from estimator.places import Place
from estimator.pricebook import BarStock, PriceBreak, Supplier
from estimator.pricing import price
from estimator.pricing.rail_offers import bar_offers, joint_rules, saw_for
from estimator.takeoff.records import NetLine
from tests.builders import a_book, a_choice, a_job, a_part, a_rail

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
    bill = price(lines, charge_freight(lines, book, "near"), no_labour(book), book, Choices())
    return OrderedQuote(number, 1, SimpleNamespace(book=book, bill=bill, job=job, checks=(), overridden=()))


def a_rail_book(**changes):
    """One aluminium rail in bars of 6 m at 60.00 and 4.2 m at 45.00, no kerf, nothing kept; a splice costs 4.00."""
    parts = {
        "R6": a_part("R6", "rail", "aluminium", 4.86, "60.00"),
        "R4": a_part("R4", "rail", "aluminium", 3.40, "45.00"),
        "SP-AL": a_part("SP-AL", "splice", "aluminium", 0.3, "4.00"),
    }
    rail = a_rail(
        stocks=(BarStock("R6", 6000.0), BarStock("R4", 4200.0)), kerf_mm=0.0, reusable_offcut_length_mm=None,
        offcut_value_per_m=None, min_piece_length_mm=300.0,
    )  # fmt: skip
    book = a_book(spares={}, tiers={})
    suppliers = {"S-1": Supplier("S-1", "Supplier S-1", lead_time_days=10, country="DE")}
    return replace(book, parts=book.parts | parts, rails=book.rails | {"R-AL": rail}, suppliers=suppliers, **changes)


def a_rail_quote(number, *lengths_mm, book=None, stocks=None, changes=(), **rail):
    """An accepted quote of rail runs of these lengths, attachments 150 mm from their ends and 600 mm apart at most."""
    book = book or a_rail_book()
    profile = replace(book.rails["R-AL"], **rail)
    bars = profile.stocks if stocks is None else tuple(each for each in profile.stocks if each.part in stocks)
    mounting = a_choice(a_book(), rail=profile, stocks=bars)
    runs = tuple(_run(at, length) for at, length in enumerate(lengths_mm, start=1))
    plan = plan_cuts(runs, bar_offers(mounting, book, Choices()), joint_rules(profile), saw_for(profile, book), 400_00)
    net = [NetLine(each.part, "rail", each.count, ()) for each in plan.bars_by_length]
    net += [NetLine("SP-AL", "splice", plan.splices, ())] if plan.splices else []
    lines = buy(net, book, changes)
    bill = price(lines, charge_freight(lines, book, "near"), no_labour(book), book, Choices())
    estimate = SimpleNamespace(
        book=book, bill=bill, job=a_job(), choices=Choices(), mounting=mounting, cut_plan=plan, checks=(),
        overridden=(),
        setting_out=SimpleNamespace(runs=runs),
    )  # fmt: skip
    return OrderedQuote(number, 1, estimate)


def _run(at, length_mm):
    spans = int(-(-(length_mm - 300.0) // 600.0))
    step = (length_mm - 300.0) / spans
    return CutRun(Place(part=f"row {at}"), length_mm, tuple(150.0 + step * k for k in range(spans + 1)))
