"""A mounting weighed before its loads are known or its rails cut: the errors and the total that it has at least.

Few errors depend on a cut plan, and of the total only how well its bars are used: so most mountings that a job leaves
open can be seen to be no choice without a plan.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence, Set
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import floor

from estimator.attachment import limits_for, set_out
from estimator.attachment.geometry.run_findings import FROM_LIMITS
from estimator.attachment.load_report import LoadReport
from estimator.attachment.records import Run, SettingOut
from estimator.buying import BuyLine, buy
from estimator.buying.alternates import with_alternates
from estimator.checks import all_checks, named_by_place, standing_errors
from estimator.cutting.instance import usable_length
from estimator.cutting.plan.least import LeastCut, least_cut, least_cuts
from estimator.cutting.records import JointRules, Saw, Stock
from estimator.deciding import Tried
from estimator.errors import Finding
from estimator.freight import least_freight
from estimator.job import Job
from estimator.labour import no_labour, plan_labour
from estimator.layout.records import Layout
from estimator.money import Money, zero
from estimator.mounting.records import MountingChoice
from estimator.pricebook import Book
from estimator.pricebook.records import Basis
from estimator.pricing.least import FROM_LOADS, FROM_PLAN, LeastRails, least_price, least_total
from estimator.pricing.rail_offers import bar_offers, joint_rules, kept_places, saw_for
from estimator.pricing.taxation import tax_findings
from estimator.site_country import country_findings
from estimator.takeoff import CutShare, count_shares, net_lines
from estimator.trial import PlacedMounting, Trial, place

_GRAMS = 1000
AskedOfRails = tuple[tuple[Run, ...], tuple[Stock, ...], JointRules, Saw]


@dataclass(frozen=True, slots=True)
class Weighed:
    """A mounting as it is placed (nothing while it is not), what it is weighed at, and whether by its splices, too."""

    placed: PlacedMounting | None
    least: Tried
    again: bool = False


def foresee(trial: Trial, layout: Layout, mounting: MountingChoice) -> Weighed:
    """A mounting before it is placed under its loads: the errors that no load changes, and its total at least.

    Under loads no span is longer than the book allows, so no mounting has fewer attachments or clamps than here.
    """
    drawn = set_out(trial.job, layout, mounting, limits_for(trial.job, mounting), known=trial.known)
    before = (*_before_placing(trial), *layout.findings, *_whatever_loads(mounting, drawn))
    checks = all_checks(before, LoadReport((), (), (), ()), units=trial.job.display_units)
    named = named_by_place(trial.choices.overrides, checks, trial.job, drawn)
    total = _least_total(trial, layout, mounting, drawn, FROM_PLAN | FROM_LOADS)
    return Weighed(None, Tried(mounting, total, standing_errors(checks, named), planned=False))


def weigh(trial: Trial, layout: Layout, mounting: MountingChoice) -> Weighed:
    """A mounting placed under its loads, with bounds on its errors and its total; refuses as an estimate of it."""
    placed = place(trial, layout, mounting)
    checks = checks_of(trial, layout, placed)
    named = named_by_place(trial.choices.overrides, checks, trial.job, placed.setting_out)
    total = _least_total(trial, layout, mounting, placed.setting_out, FROM_PLAN)
    return Weighed(placed, Tried(mounting, total, standing_errors(checks, named), planned=False))


def weigh_again(trial: Trial, layout: Layout, weighed: Weighed) -> Weighed:
    """A placed mounting weighed by each number of splices that its plan may have, which takes longer."""
    placed, tried = weighed.placed, weighed.least
    asked = _asked(trial, tried.mounting, placed.setting_out) if placed else None
    if placed is None or asked is None:
        return replace(weighed, again=True)
    key = "by splices", asked
    if key not in trial.known:
        trial.known[key] = least_cuts(*asked, _least_cut(trial, asked))
    bounds: tuple[LeastCut, ...] = trial.known[key]
    drawn = placed.setting_out
    least = min(_total_of(trial, layout, (tried.mounting, drawn), FROM_PLAN, each).amount for each in bounds)
    total = Money(max(tried.total.amount, least), tried.total.currency)
    return Weighed(placed, replace(tried, total=total), again=True)


def checks_of(
    trial: Trial,
    layout: Layout,
    placed: PlacedMounting,
    from_plan: Iterable[Finding] = (),
    later: Iterable[Finding] = (),
) -> tuple[Finding, ...]:
    """The checks of a placed mounting, of its cut plan, and of what comes after it; each once."""
    before = (*_before_placing(trial), *layout.findings, *placed.setting_out.findings)
    return all_checks(before, placed.loads, from_plan, (*placed.later, *later), units=trial.job.display_units)


def _whatever_loads(mounting: MountingChoice, drawn: SettingOut) -> tuple[Finding, ...]:
    """What is wrong with the rails wherever their attachments stand."""
    if mounting.rail is None:
        return ()
    return tuple(finding for finding in drawn.findings if finding.code not in FROM_LIMITS)


def _before_placing(trial: Trial) -> tuple[Finding, ...]:
    return (*_on_country(trial.job), *tax_findings(trial.job, trial.book, trial.choices), *trial.findings)


def _on_country(job: Job) -> tuple[Finding, ...]:
    return country_findings(job.site.address.country or job.customer.address.country, job.display_units)


def _least_total(
    trial: Trial, layout: Layout, mounting: MountingChoice, drawn: SettingOut, open_counts: Set[Basis]
) -> Money:
    """The least total of a mounting set out like this, where more of ``open_counts`` may be asked for."""
    asked = _asked(trial, mounting, drawn)
    return _total_of(trial, layout, (mounting, drawn), open_counts, _least_cut(trial, asked) if asked else None)


def _total_of(
    trial: Trial,
    layout: Layout,
    built: tuple[MountingChoice, SettingOut],
    open_counts: Set[Basis],
    least: LeastCut | None,
) -> Money:
    """The same where its rails take so much at least."""
    (mounting, drawn), job, book, choices = built, trial.job, trial.book, trial.choices
    counts = count_shares(job, layout, drawn, _shares(least), {"": least.bars} if least else {})
    net = net_lines(job, book, mounting, counts, None)
    bought = buy(net, book, with_alternates(net, book, choices))
    labour = plan_labour(job, book, mounting, counts) if choices.labour else no_labour(book)
    rails, mass_kg = _rails(trial, mounting, least, bought)
    freight = least_freight(bought, mass_kg, book, job.site.freight_zone)
    freight = freight if choices.freight else zero(book.currency)
    paid = least_price(bought, rails, book, choices, open_counts)
    return least_total(paid, freight, labour, book, choices, job.customer.tier)


def _asked(trial: Trial, mounting: MountingChoice, drawn: SettingOut) -> AskedOfRails | None:
    """What the least of rails depends on; None without rails."""
    if mounting.rail is None:
        return None
    offers = bar_offers(mounting, trial.book, trial.choices)
    return drawn.runs, offers, joint_rules(mounting.rail), saw_for(mounting.rail, trial.book)


def _least_cut(trial: Trial, asked: AskedOfRails) -> LeastCut:
    """What rails take at least; mountings whose rails are set out alike and cut by the same rules take the same."""
    if asked not in trial.known:
        trial.known[asked] = least_cut(*asked)
    found: LeastCut = trial.known[asked]
    return found


def _shares(least: LeastCut | None) -> list[CutShare]:
    if least is None:
        return []
    return [
        CutShare(pieces=each.pieces, splices=each.splices, expansion_splices=each.expansion_splices)
        for each in least.runs
    ]


def _rails(
    trial: Trial, mounting: MountingChoice, least: LeastCut | None, bought: Sequence[BuyLine]
) -> tuple[LeastRails, Decimal]:
    """What the bars cost and weigh at least; nothing where a rule of the book counts one of them, too."""
    if mounting.rail is None or least is None:
        return LeastRails(), Decimal(0)
    book, offers = trial.book, bar_offers(mounting, trial.book, trial.choices)
    if {offer.part for offer in offers} & {line.part for line in bought}:
        return LeastRails(), Decimal(0)
    cost = Decimal(least.cost).scaleb(-kept_places(book))
    mass = least.length * _lightest(offers, saw_for(mounting.rail, book), book)
    return LeastRails(cost, len(offers)), Decimal(floor(mass * _GRAMS)) / _GRAMS


def _lightest(offers: Sequence[Stock], saw: Saw, book: Book) -> Fraction:
    """The least mass of a bar for what it holds, kg for a tenth of a mm."""
    masses = (
        Fraction(repr(book.parts[each.part].unit_mass_kg)) / (usable_length(each, saw) + saw.kerf)
        for each in offers
        if each.available != 0 and usable_length(each, saw) > 0
    )
    return min(masses, default=Fraction(0))
