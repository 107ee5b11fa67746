"""Jobs whose mounting is left open, by books of any habit, and what trying every mounting outright finds.

Ribs off centre, rows of all lengths, loads or given spans, mountings that fail, quantity breaks that reach far, packs,
freight that falls at its steps, taxes by line, what is counted by piece, cut, splice and bar. The same number makes the
same job.
"""

import random
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from estimator.contract.faults import read_job
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.deciding import describe
from estimator.errors import Refused
from estimator.estimate import QUICK, estimate
from estimator.job import Choices
from estimator.layout import lay_out
from estimator.mounting import mounting_choices
from estimator.plausible import implausible
from estimator.pricebook.records import Condition, FreightRate, LabourActivity, PriceBreak
from estimator.pricing.taxation import with_reliefs
from estimator.storage.books import book_in_force, find_editions, read_book
from estimator.trial import Trial
from estimator.weighing import foresee, weigh, weigh_again

ON = date(2026, 11, 25)
BOOKS = Path(__file__).parents[2] / "pricebooks"
MODULE = {"name": "plain", "length": 2278, "width": 1134, "thickness": 35, "mass": 28.6, "power": 545,
          "clamping_zone": {"long_side": [0.1, 0.3], "short_side": [0, 0.4]}}  # fmt: skip
EN = {"standard": "en1991", "wind_speed": 22.0, "terrain": "III", "mean_roof_height": 8000, "roof_form": "gable",
      "ground_snow": 850.0, "building": {"length": 60_000, "width": 40_000}}  # fmt: skip
SPANS = {"max_span": 1200, "max_cantilever": 400, "spans_given_by": "An engineer"}


def open_job(number):
    """A job, a book and choices."""
    chance = random.Random(number)
    loads = EN if chance.random() < 0.15 else {"standard": "given"}
    given = {} if loads is EN or chance.random() < 0.2 else dict(SPANS)
    if chance.random() < 0.3:
        given |= chance.choice([{"material": "steel"}, {"material": "aluminium"}, {"arrangement": "rail_on_side"}])
    if chance.random() < 0.15:
        given["rail_direction"] = "along_ribs"
    arrays, y = [], 1000.0
    for row in range(chance.randint(1, 4)):
        array = {"name": f"R{row}", "x": 1000 + chance.randint(0, 300), "y": y, "rows": 1,
                 "columns": chance.randint(1, 16), "orientation": "portrait", "gap_x": 20, "gap_y": 20}  # fmt: skip
        arrays.append(array)
        y += 2400
    document = {
        "reference": f"OPEN-{number}", "title": "Open", "display_units": "metric", "customer": {"name": "Nobody"},
        "site": {"loads": loads}, "module": MODULE, "mounting": given,
        "roofs": [{
            "name": "South", "eave_length": 22_000, "slope_length": y + 1500, "slope": 6.0,
            "ribs": {"spacing": chance.choice([200, 250, 333]), "first_at": chance.randint(0, 190), "height": 35,
                     "crown_width": 40, "web_angle": 60},
            "sheet": {"material": "steel", "thickness": 0.63, "ultimate_strength": 360}, "arrays": arrays,
        }],
    }  # fmt: skip
    some = [None, Decimal("0.07"), Decimal("0.2")]
    choices = Choices(
        margin=chance.choice(some), discount=chance.choice(some), contingency=chance.choice(some),
        freight=chance.random() < 0.8, labour=chance.random() < 0.8,
    )  # fmt: skip
    return read_job(document, JobSchema()), _book(chance), choices


def _book(chance):
    book = read_book(book_in_force(find_editions([BOOKS]), chance.choice(["hanse-eu", "prairie-us"]), ON).folder)
    parts = {name: _part(part, chance) for name, part in book.parts.items()}
    book = replace(book, parts=parts, tax=replace(book.tax, per=chance.choice(["total", "line"])))
    if chance.random() < 0.5:
        zone = book.defaults.freight_zone
        rows = [(0.0, "90", "0.9"), (150.0, "60", "0.4"), (600.0, "40", "0.1")]
        falling = tuple(FreightRate(zone, kg, Decimal(base), Decimal(rate)) for kg, base, rate in rows)
        book = replace(book, freight=falling)
    if chance.random() < 0.5:
        extra = tuple(
            LabourActivity(basis, basis, Decimal("3.5"), basis, 1, Condition())
            for basis in ("pieces", "cuts", "splices", "bars")
        )
        book = replace(book, labour=(*book.labour, *extra))
    if chance.random() < 0.3:
        first = book.rules[0]
        label = next(part.part for part in book.parts.values() if part.role in ("label_pack", "cable_clip"))
        extra = tuple(
            replace(
                first, rule=f"more-{basis}", part=label, role="", count=Fraction(3), for_each=basis, when=Condition()
            )
            for basis in ("splices", "bars", "pieces")
        )
        book = replace(book, rules=(*book.rules, *extra))
    return book


def _part(part, chance):
    if chance.random() < 0.3:
        part = replace(part, cost=(part.cost * Decimal(chance.randint(60, 160)) / 100).quantize(Decimal("0.01")))
    if chance.random() < 0.3:
        cheaper = (part.cost * Decimal(chance.randint(50, 95)) / 100).quantize(Decimal("0.01"))
        part = replace(part, breaks=(PriceBreak(chance.choice([3, 12, 60, 400]), cheaper),), list_price=None)
    if chance.random() < 0.2:
        part = replace(part, pack_size=chance.choice([1, 5, 25]))
    return part


def outright(job, book, choices):
    """What every mounting ranks at where it is given; none where one of them is refused."""
    mountings, _, _ = mounting_choices(job, book, choices)
    effort, ranks = replace(QUICK, memory={}), {}
    for each in mountings:
        rail = each.rail.rail if each.rail else None
        given = replace(job.mounting, arrangement=each.arrangement, material=each.material, bracket=each.bracket.part,
                        rail=rail)  # fmt: skip
        made = estimate(replace(job, mounting=given), book, choices, ON, effort)
        failing = sum(not check.tells_cost for check in made.errors)
        ranks[describe(each)] = (failing, made.bill.totals.total.amount, describe(each))
    return ranks


def compared(number):
    """A job by both ways: ranks of all, the mounting taken, weights by name, the estimate; None where it is refused."""
    job, book, choices = open_job(number)
    try:
        ranks = outright(job, book, choices)
    except Refused:
        return None
    made = estimate(job, book, choices, ON)
    mountings, findings, _ = mounting_choices(job, book, choices)
    trial = Trial(job, with_reliefs(book, job, choices), choices, ON, (*findings, *implausible(job)))
    layout = lay_out(job)
    weights = {describe(each): weigh_again(trial, layout, weigh(trial, layout, each)).least for each in mountings}
    for each in mountings:
        foreseen = foresee(trial, layout, each).least
        weight = weights[describe(each)]
        assert (foreseen.failing, foreseen.total.amount) <= (weight.failing, weight.total.amount), describe(each)
        assert foreseen.total.amount <= weight.total.amount, (number, describe(each))
    return ranks, describe(made.mounting), weights, made
