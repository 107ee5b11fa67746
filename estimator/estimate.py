"""The spine: one pure function, job and pricebook and date in, the whole estimate out. Read ``estimate`` first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from estimator import __version__
from estimator.attachment.load_report import LoadReport
from estimator.attachment.records import Run, SettingOut
from estimator.buying import BuyLine, buy, lead_time_findings, quantity_findings
from estimator.buying.alternates import with_alternates
from estimator.checks import named_by_place, standing_errors
from estimator.cutting.plan.planning import plan_cuts
from estimator.cutting.records import TENTHS_PER_MM, CutPlan, Effort, JointRules, Saw, Standing, Stock
from estimator.deciding import Decision, Tried, describe, explain
from estimator.errors import Finding
from estimator.freight import FreightCharge, charge_freight, falling_step, no_freight
from estimator.job import CheckOverride, Choices, Job, fingerprint
from estimator.labour import Labour, no_labour, plan_labour
from estimator.layout import lay_out
from estimator.layout.records import Layout
from estimator.layout.work import refuse_endless
from estimator.mounting import mounting_choices
from estimator.mounting.records import Clearance, MountingChoice
from estimator.plausible import implausible
from estimator.pricebook import Book, Seller
from estimator.pricing import PricedBill, check_choices, money_findings, price
from estimator.pricing.rail_offers import bar_offers, expansion_cost, joint_rules, saw_for, splice_cost, with_offcuts
from estimator.pricing.taxation import with_reliefs
from estimator.sentences import say
from estimator.takeoff import count, net_lines, sums_differ
from estimator.takeoff.records import JobCounts, NetLine
from estimator.trial import CAUTIONS, PlacedMounting, Trial, check_in_force, place, with_splices
from estimator.weighing import checks_of, foresee, weigh, weigh_again

QUICK = Effort(work_limit=100)
"""How far a cut plan is searched while mountings are compared."""
PROMPT = Effort(work_limit=600, gap=0.001)
"""How far the cut plan of the mounting that was taken is searched: to a gap of 0.1 %, or to a small limit of work."""
THOROUGH = Effort(work_limit=4_000)
"""How far it is searched where a proof is asked for."""


AskedOfPlan = tuple[tuple[Run, ...], tuple[Stock, ...], JointRules, Saw, int, int]


@dataclass(frozen=True, slots=True)
class Provenance:
    """What the numbers stand on: the edition and its hash, the engine's version, the input's hash, the date."""

    pricebook: str
    edition: str
    sha256: str
    engine: str
    input_sha256: str
    priced_on: date
    valid_until: date


@dataclass(frozen=True, slots=True)
class Estimate:
    """One job priced one way, with the job and the book it stands on: everything that documents and answers show."""

    job: Job
    book: Book
    choices: Choices
    mounting: MountingChoice
    decisions: tuple[Decision, ...]
    layout: Layout
    loads: LoadReport
    setting_out: SettingOut
    cut_plan: CutPlan | None
    counts: JobCounts
    bill: PricedBill
    freight: FreightCharge
    labour: Labour
    checks: tuple[Finding, ...]
    overridden: tuple[CheckOverride, ...]
    clearances: tuple[Clearance, ...]
    cautions: tuple[str, ...]
    provenance: Provenance

    @property
    def seller(self) -> Seller:
        """The house that quotes."""
        return self.book.seller

    @property
    def terms(self) -> tuple[str, ...]:
        """The book's terms of sale."""
        return self.book.terms

    @property
    def invented(self) -> bool:
        """Whether the book holds invented demonstration prices."""
        return self.book.invented

    @property
    def mass_kg(self) -> float:
        """Mass of all parts ordered, without packaging, kg."""
        return self.freight.parts_mass_kg

    @property
    def errors(self) -> tuple[Finding, ...]:
        """The checks that keep the quote from being issued: errors that nobody overrode by name."""
        return standing_errors(self.checks, self.overridden)


def estimate(
    job: Job, book: Book, choices: Choices, on: date, effort: Effort = PROMPT, kept: Estimate | None = None
) -> Estimate:
    """The whole estimate of a job by one edition of a pricebook.

    Args:
        job: what was asked for, its shape checked.
        book: the edition in force, read and found consistent.
        choices: the estimator's choices for this quote.
        on: the date of pricing, within the edition's validity.
        effort: how far the search for the cheapest cut plan may go, and the plans that it begins with.
        kept: an estimate of the same job by the same edition whose mounting is taken again, and whose cut plan while
            nothing it depends on has changed.

    Every mounting that job and choices leave open is weighed, without the changes of single lines; those are planned
    that may be the cheapest whose checks all pass. It is taken, and the decision explained. Refuses (JobRefused,
    ChoiceRefused, PricebookRefused) where no honest answer exists.
    """
    check_in_force(book, on)
    book = with_reliefs(with_offcuts(book, choices), job, choices)
    check_choices(book, choices, job.customer.tier)
    layout = lay_out(job)
    mountings, findings, unfit = mounting_choices(job, book, choices)
    refuse_endless(job, len(mountings))
    trial = Trial(job, book, choices, on, (*findings, *implausible(job)))
    same = next((each for each in mountings if kept and describe(each) == describe(kept.mounting)), None)
    if kept is not None and same is not None:
        return replace(_try(trial, layout, same, effort, kept), decisions=_kept_decisions(kept))
    effort = effort if effort.memory is not None else replace(effort, memory={})
    if len(mountings) == 1:
        only = _try(trial, layout, mountings[0], effort)
        return replace(only, decisions=explain(_tried(only), job, choices, [_tried(only)], unfit))
    bare = replace(trial, choices=without_lines(choices))
    chosen, placed, tried = _compared(bare, layout, mountings, effort)
    best = chosen
    if bare != trial or (best.cut_plan and not best.cut_plan.proven_optimal):
        best = _try(trial, layout, best.mounting, effort, placed=placed)
    return replace(best, decisions=explain(_tried(best if bare == trial else chosen), job, choices, tried, unfit))


def _compared(
    trial: Trial, layout: Layout, mountings: Sequence[MountingChoice], effort: Effort
) -> tuple[Estimate, PlacedMounting, list[Tried]]:
    """The mounting that trying all would take, how it is placed, and what each was tried or dropped at.

    The most promising one always goes a step further: it is weighed by what every mounting costs at least, then placed
    under its loads, then weighed by its splices where another was planned, then planned; until what is left has more
    errors than the best, or costs more, whatever its plan.
    """
    tried: list[Tried] = []
    best: tuple[Estimate, PlacedMounting] | None = None
    begin = foresee if trial.job.mounting.max_span_mm is None else weigh
    waiting = []
    for at, mounting in enumerate(mountings, start=1):
        effort.watch(Standing(0, 0, None, None, (at, len(mountings))))
        waiting.append(begin(trial, layout, mounting))
    while waiting:
        quick = _quick(effort, (len(tried) + 1, len(mountings)))
        weighed = min(waiting, key=lambda each: each.least.rank)
        waiting.remove(weighed)
        if best is not None and weighed.least.rank > _tried(best[0]).rank:
            tried.append(weighed.least)
        elif weighed.placed is None:
            waiting.append(weigh(trial, layout, weighed.least.mounting))
        elif best is not None and not weighed.again:
            waiting.append(weigh_again(trial, layout, weighed))
        else:
            made = _try(trial, layout, weighed.least.mounting, quick, placed=weighed.placed)
            tried.append(_tried(made))
            best = _better(best, (made, weighed.placed))
    assert best is not None
    return *best, tried


def _quick(effort: Effort, way: tuple[int, int]) -> Effort:
    """How far a cut plan is searched of one of several mountings; who looks on is told which."""

    def watch(standing: Standing) -> None:
        effort.watch(replace(standing, way=way))

    watch(Standing(0, QUICK.work_limit, None, None))
    return replace(QUICK, memory=effort.memory, before=effort.before, watch=watch)


def _better(
    best: tuple[Estimate, PlacedMounting] | None, made: tuple[Estimate, PlacedMounting]
) -> tuple[Estimate, PlacedMounting]:
    return made if best is None or _tried(made[0]).rank < _tried(best[0]).rank else best


def _tried(made: Estimate) -> Tried:
    return Tried(made.mounting, made.bill.totals.total, made.errors)


def without_lines(choices: Choices) -> Choices:
    """The choices without what belongs to single parts: these presuppose a mounting, they do not choose it."""
    return replace(choices, line_changes=(), line_discounts=())


def _try(
    trial: Trial,
    layout: Layout,
    mounting: MountingChoice,
    effort: Effort,
    kept: Estimate | None = None,
    placed: PlacedMounting | None = None,
) -> Estimate:
    """One mounting through every stage, one line a stage."""
    job, book, choices = trial.job, trial.book, trial.choices
    placed = placed or place(trial, layout, mounting)
    setting_out = placed.setting_out
    cut_plan = _plan_rails(setting_out, mounting, trial, effort, kept)
    placed = with_splices(trial, mounting, placed, _rigid_joints(cut_plan))
    counts = count(job, layout, setting_out, cut_plan)
    net = net_lines(job, book, mounting, counts, cut_plan)
    bought = buy(net, book, with_alternates(net, book, choices))
    shipped = charge_freight(bought, book, job.site.freight_zone)
    freight = shipped if choices.freight else no_freight(shipped)
    labour = plan_labour(job, book, mounting, counts) if choices.labour else no_labour(book)
    bill = price(bought, freight, labour, book, choices, job.customer.tier)
    differing = sums_differ(layout, setting_out, counts, cut_plan, net)
    later = (*differing, *_on_quantities_and_money(trial, net, bought, bill, shipped))
    checks = checks_of(trial, layout, placed, cut_plan.findings if cut_plan else (), later)
    return Estimate(
        job=job,
        book=book,
        choices=choices,
        mounting=mounting,
        decisions=(),
        layout=layout,
        loads=placed.loads,
        setting_out=setting_out,
        cut_plan=cut_plan,
        counts=counts,
        bill=bill,
        freight=freight,
        labour=labour,
        checks=checks,
        overridden=named_by_place(choices.overrides, checks, job, setting_out),
        clearances=placed.heights,
        cautions=CAUTIONS,
        provenance=_provenance(trial),
    )


def _on_quantities_and_money(
    trial: Trial, net: Sequence[NetLine], bought: Sequence[BuyLine], bill: PricedBill, shipped: FreightCharge
) -> tuple[Finding, ...]:
    """What the estimator's own quantities, prices and discounts make of the bill, and a freight table that falls."""
    book, choices = trial.book, trial.choices
    quantities = quantity_findings(net, bought, book, choices.line_changes)
    falling = falling_step(shipped, book) if choices.freight else ()
    late = lead_time_findings(bought, trial.job.site.needed_on, book, trial.on)
    return (*quantities, *money_findings(bill, book, choices), *falling, *late)


def _plan_rails(
    setting_out: SettingOut, mounting: MountingChoice, trial: Trial, effort: Effort, kept: Estimate | None
) -> CutPlan | None:
    """The cut plan; that of an estimate that is priced again where it was made of the same."""
    if mounting.rail is None:
        return None
    asked = _asked_of_plan(setting_out, mounting, trial.book, trial.choices)
    if kept is not None and asked == _asked_of_plan(kept.setting_out, kept.mounting, kept.book, kept.choices):
        return kept.cut_plan
    runs, offers, joints, saw, splice, expansion = asked
    return plan_cuts(runs, offers, joints, saw, splice, effort, expansion)


def _asked_of_plan(setting_out: SettingOut, mounting: MountingChoice, book: Book, choices: Choices) -> AskedOfPlan:
    """What a cut plan depends on: runs, bars and their prices, where joints may stand, the saw, what joints cost."""
    assert mounting.rail is not None
    return (
        setting_out.runs,
        bar_offers(mounting, book, choices),
        joint_rules(mounting.rail),
        saw_for(mounting.rail, book),
        splice_cost(mounting, book, choices),
        expansion_cost(mounting, book, choices),
    )


def _rigid_joints(plan: CutPlan | None) -> tuple[tuple[int, float], ...]:
    """Where pieces meet in a rigid splice: the number of the run, and the place on it, mm."""
    joints = plan.joints if plan else ()
    return tuple((joint.run, joint.at / TENTHS_PER_MM) for joint in joints if joint.kind == "splice")


def _provenance(trial: Trial) -> Provenance:
    book, choices = trial.book, trial.choices
    days = choices.validity_days if choices.validity_days is not None else book.defaults.validity_days
    return Provenance(
        pricebook=book.id,
        edition=book.edition,
        sha256=book.sha256,
        engine=__version__,
        input_sha256=fingerprint(trial.job, trial.choices),
        priced_on=trial.on,
        valid_until=min(trial.on + timedelta(days=days), book.valid_until),
    )


def _kept_decisions(kept: Estimate) -> tuple[Decision, ...]:
    """The decisions of an estimate that is priced again: what was given stays given, what was chosen is kept."""
    why = say("kept from the earlier revision")
    return tuple(each if each.given else replace(each, why=why, alternatives=()) for each in kept.decisions)
