"""Offers to write documents of: each a whole job through the whole tool, made once."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import lru_cache
from itertools import cycle, islice

from estimator.comparison.records import Offer
from estimator.documents.header import QuoteHeader
from estimator.job import Address, Choices, Customer, KeepClear, Mounting, Obstruction, Site
from estimator.pricebook import Book, Seller
from tests.builders import a_book, a_job, a_module, a_roof, an_array, some_loads, some_ribs
from tests.searches import offer

DATED = date(2026, 6, 1)
HOUSE = Seller(
    "Fixture House", ("Mill Lane 4",), "10115", "Berlin", "DE", "quotes@example.com", "+49 30 5550100", "DE0"
)
CUSTOMER = Customer(
    "Test customer", "Ana Gómez", "ana@example.com", Address(("Rua Nova 3",), "1000", "Lisboa"), "trade"
)
# Markup, a link to a local file, formulas, control characters, places to fill in, directions, a script.
PAYLOADS = (
    '<b>bold</b> & "quoted"', '<img src="/etc/hostname"/>', "=1+1", "{number} %s %(x)s", "]]><script>alert(1)</script>",
    "<para>open", "a\x00b\x07c", "%%d ^J \\P", "line\nbreak\ttab", "\u202eturned", "東京",
)  # fmt: skip


def a_header(**changes) -> QuoteHeader:
    return replace(QuoteHeader("Q-7", 2, "issued", DATED, date(2026, 7, 1), "Dana W."), **changes)


def long_roof():
    """Two rows of 18 landscape modules, three left out, an obstruction there, strips kept clear."""
    return a_roof(
        name="Long",
        eave_length_mm=36_000.0,
        keep_clear=KeepClear(300.0, 300.0, 300.0, 300.0),
        obstructions=(Obstruction("skylight", 9100.0, 600.0, 1400.0, 600.0),),
        arrays=(
            an_array(
                rows=3, columns=18, orientation="landscape", omit=frozenset({(0, 4), (0, 5)}), gap_x_mm=20.0, y_mm=400.0
            ),
        ),
    )


def _payload_job():
    texts = cycle(PAYLOADS)
    array = an_array(name=next(texts))
    roof = a_roof(name=next(texts), arrays=(array,), obstructions=(Obstruction(next(texts), 8000, 3000, 900, 900),))
    address = Address(tuple(islice(texts, 2)), next(texts), next(texts), next(texts), "PT")
    return a_job(
        roof,
        module=a_module(name=next(texts)),
        reference=next(texts),
        title=next(texts),
        customer=Customer(next(texts), next(texts), next(texts), address, "trade"),
        site=Site(address=address, needed_on=next(texts), freight_zone="near"),
    )


ASCE = some_loads(
    standard="asce7-16",
    wind_speed_m_s=47.0,
    exposure="C",
    mean_roof_height_mm=5000.0,
    eave_height_mm=4500.0,
    risk_category="II",
    roof_form="gable",
    building_length_mm=12_000.0,
    building_width_mm=11_600.0,
    ground_snow_pa=1000.0,
)
JOBS = {
    "plain": lambda: a_job(customer=CUSTOMER),
    "us": lambda: a_job(display_units="us", customer=replace(CUSTOMER, address=Address(("1 Elm St",), "05661", "Stowe",
                                                                                       "VT", "US"))),
    "both": lambda: a_job(long_roof(), display_units="us_metric", customer=CUSTOMER),
    "long": lambda: a_job(long_roof(), a_roof(name="Short"), customer=CUSTOMER),
    "along": lambda: a_job(mounting=Mounting(arrangement="rail_on_side", rail_direction="along_ribs")),
    "direct": lambda: a_job(mounting=Mounting(arrangement="direct", material="aluminium")),
    "loaded": lambda: a_job(replace(a_roof(), slope_deg=15.0), site=Site(freight_zone="near", loads=ASCE)),
    "given": lambda: a_job(mounting=Mounting(arrangement="rail_on_side", material="aluminium", max_span_mm=1200.0,
                                             max_cantilever_mm=300.0)),
    "unbuildable": lambda: a_job(a_roof(ribs=some_ribs(spacing_mm=2500.0))),
    "payloads": _payload_job,
}  # fmt: skip
NAMES = tuple(JOBS)


GROUPS = {"bracket": "brackets", "screw": "brackets", "nut": "brackets", "mid_clamp": "clamps", "end_clamp": "clamps"}


def house_book() -> Book:
    """The fixture's book with the house's address, terms, and its parts in few groups."""
    book = a_book(seller=HOUSE, terms=("Prices hold until the date shown.", "Payment within 30 days."))
    parts = {key: replace(part, group=GROUPS.get(part.role, "rails" if part.material else "small parts"))
             for key, part in book.parts.items()}  # fmt: skip
    return replace(book, parts=parts)


@lru_cache(maxsize=16)
def an_offer(name: str = "plain") -> Offer:
    book = house_book()
    return offer(JOBS[name](), book, Choices(contingency=Decimal("0.02")), DATED)


def with_estimate(base: Offer, **changes) -> Offer:
    return replace(base, estimate=replace(base.estimate, **changes))


def with_lines(base: Offer, count: int) -> Offer:
    """The offer with its lines over and over: for layout only, its totals are no longer theirs."""
    bill = base.estimate.bill
    lines = tuple(
        replace(line, line=replace(line.line, part=f"{line.line.part}/{number:05d}"))
        for number, line in enumerate(islice(cycle(bill.lines), count))
    )
    return with_estimate(base, bill=replace(bill, lines=lines))
