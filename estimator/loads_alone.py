"""Loads without a price: the mounting a job would likely take, set out under its loads; no cut plan is made."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.attachment.load_report import LoadReport
from estimator.attachment.records import SettingOut
from estimator.buying import buy
from estimator.checks import all_checks
from estimator.errors import Finding
from estimator.freight import charge_freight
from estimator.job import Choices, Job
from estimator.labour import plan_labour
from estimator.layout import lay_out
from estimator.layout.records import Layout
from estimator.mounting import mounting_choices
from estimator.mounting.records import MountingChoice
from estimator.plausible import implausible
from estimator.pricebook import Book
from estimator.pricing import price
from estimator.pricing.rail_offers import bar_offers, kept_places
from estimator.takeoff import count, net_lines
from estimator.trial import CAUTIONS, PlacedMounting, Trial, check_in_force, place


@dataclass(frozen=True, slots=True)
class LoadsFound:
    """The mounting taken, its loads and setting-out, its checks, and what an engineer has the last word on.

    ``compared`` tells between how many mountings it was chosen.
    """

    mounting: MountingChoice
    loads: LoadReport
    setting_out: SettingOut
    checks: tuple[Finding, ...]
    compared: int
    cautions: tuple[str, ...] = CAUTIONS


def find_loads(job: Job, book: Book, choices: Choices, on: date) -> LoadsFound:
    """The loads of a job with the spans they allow, by one edition of a pricebook.

    Of several mountings left open the one is taken whose checks hold and that costs least, rails counted at the price
    of their length. Refuses as ``estimate`` does.
    """
    check_in_force(book, on)
    layout = lay_out(job)
    mountings, findings, _ = mounting_choices(job, book, choices)
    trial = Trial(job, book, choices, on, (*findings, *implausible(job)))
    placed = [(mounting, place(trial, layout, mounting)) for mounting in mountings]
    if len(placed) > 1:
        placed.sort(key=lambda each: _rank(trial, layout, *each))
    mounting, best = placed[0]
    return LoadsFound(mounting, best.loads, best.setting_out, _checks(trial, layout, best), len(placed))


def _checks(trial: Trial, layout: Layout, placed: PlacedMounting) -> tuple[Finding, ...]:
    before = (*trial.findings, *layout.findings, *placed.setting_out.findings)
    return all_checks(before, placed.loads, placed.later, units=trial.job.display_units)


def _rank(trial: Trial, layout: Layout, mounting: MountingChoice, placed: PlacedMounting) -> tuple[int, Decimal]:
    failing = sum(check.severity == "error" for check in _checks(trial, layout, placed))
    return failing, _cost(trial, layout, mounting, placed)


def _cost(trial: Trial, layout: Layout, mounting: MountingChoice, placed: PlacedMounting) -> Decimal:
    """The total with rails at the cheapest price of their length: near enough to choose by, and never shown."""
    job, book, choices = trial.job, trial.book, trial.choices
    counts = count(job, layout, placed.setting_out, None)
    bought = buy(net_lines(job, book, mounting, counts, None), book, choices.line_changes)
    freight = charge_freight(bought, book, job.site.freight_zone)
    bill = price(bought, freight, plan_labour(job, book, mounting, counts), book, choices, job.customer.tier)
    return bill.totals.total.amount + _rails(trial, mounting, (run.length_mm for run in placed.setting_out.runs))


def _rails(trial: Trial, mounting: MountingChoice, lengths_mm: Iterable[float]) -> Decimal:
    if mounting.rail is None:
        return Decimal(0)
    offers = bar_offers(mounting, trial.book, trial.choices)
    tenths = round(sum(lengths_mm) * 10)
    least = min(Decimal(offer.price) / offer.length for offer in offers)
    return (least * tenths).scaleb(-kept_places(trial.book))
