"""The spine: one pure function, job and pricebook and date in, the whole estimate out. Read ``estimate`` first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from estimator import __version__
from estimator.attachment.load_report import LoadReport
from estimator.attachment.records import Run, SettingOut
from estimator.buying import BuyLine, buy, lead_time_findings, quantity_findings
from estimator.buying.alternates import with_alternates
from estimator.checks import all_checks, named_by_place, standing_errors
from estimator.cutting.plan.planning import plan_cuts
from estimator.cutting.records import TENTHS_PER_MM, CutPlan, Effort, JointRules, Saw, Stock
from estimator.errors import Finding
from estimator.freight import FreightCharge, charge_freight, falling_step, no_freight
from estimator.job import CheckOverride, Choices, Job, fingerprint
from estimator.labour import Labour, no_labour, plan_labour
from estimator.layout import lay_out
from estimator.layout.records import Layout
from estimator.layout.work import refuse_endless
from estimator.money import Money
from estimator.mounting import Unfit, mounting_choices
from estimator.mounting.records import Clearance, MountingChoice
from estimator.plausible import implausible
from estimator.pricebook import Book, Seller
from estimator.pricing import PricedBill, check_choices, money_findings, price
from estimator.pricing.rail_offers import bar_offers, expansion_cost, joint_rules, saw_for, splice_cost, with_offcuts
from estimator.pricing.taxation import tax_findings, with_reliefs
from estimator.sentences import Sentence, amount, say
from estimator.site_country import country_findings
from estimator.takeoff import count, net_lines, sums_differ
from estimator.takeoff.records import JobCounts, NetLine
from estimator.trial import CAUTIONS, Trial, check_in_force, place, with_splices

QUICK = Effort(work_limit=100)
"""How far a cut plan is searched while mountings are compared."""
PROMPT = Effort(work_limit=600, gap=0.001)
"""How far the cut plan of the mounting that was taken is searched: to a gap of 0.1 %, or to a small limit of work."""
THOROUGH = Effort(work_limit=4_000)
"""How far it is searched where a proof is asked for."""


AskedOfPlan = tuple[tuple[Run, ...], tuple[Stock, ...], JointRules, Saw, int, int]


@dataclass(frozen=True, slots=True)
class Alternative:
    """One option that was tried: its total, and the checks that do not hold in it."""

    option: str
    total: Money | None
    errors: tuple[Sentence, ...]


@dataclass(frozen=True, slots=True)
class Decision:
    """What was chosen for one subject (arrangement, material, bracket, rail ...), whether it was given, and why."""

    subject: str
    chosen: str
    given: bool
    why: Sentence
    alternatives: tuple[Alternative, ...] = ()


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
        effort: how far the search for the cheapest cut plan may go.
        kept: an estimate of the same job by the same edition whose mounting is taken again, and whose cut plan while
            nothing it hangs on has changed.

    Every mounting that job and choices leave open is tried, without the changes of single lines; the cheapest whose
    checks all pass is taken, and the choice explained. Refuses (JobRefused, ChoiceRefused, PricebookRefused) where no
    honest answer exists.
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
    quick = replace(QUICK, memory=effort.memory)
    if len(mountings) == 1:
        trials = [_try(trial, layout, mountings[0], effort)]
        return replace(trials[0], decisions=explain(trials[0], trials, unfit))
    bare = replace(trial, choices=without_lines(choices))
    trials = [_try(bare, layout, mounting, quick) for mounting in mountings]
    best = chosen = min(trials, key=_rank)
    if bare != trial or (best.cut_plan and not best.cut_plan.proven_optimal):
        best = _try(trial, layout, best.mounting, effort)
    return replace(best, decisions=explain(best if bare == trial else chosen, trials, unfit))


def without_lines(choices: Choices) -> Choices:
    """The choices without what belongs to single parts: these presuppose a mounting, they do not choose it."""
    return replace(choices, line_changes=(), line_discounts=())


def _try(
    trial: Trial, layout: Layout, mounting: MountingChoice, effort: Effort, kept: Estimate | None = None
) -> Estimate:
    """One mounting through every stage, one line a stage."""
    job, book, choices = trial.job, trial.book, trial.choices
    placed = place(trial, layout, mounting)
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
    before = (*_on_country(job), *tax_findings(job, book, choices), *trial.findings)
    before = (*before, *layout.findings, *setting_out.findings)
    later = (*placed.later, *differing, *_on_quantities_and_money(trial, net, bought, bill, shipped))
    from_plan = cut_plan.findings if cut_plan else ()
    checks = all_checks(before, placed.loads, from_plan, later, units=job.display_units)
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


def _on_country(job: Job) -> tuple[Finding, ...]:
    return country_findings(job.site.address.country or job.customer.address.country, job.display_units)


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
    """All that a cut plan hangs on: runs, bars and their prices, where joints may stand, the saw, what joints cost."""
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


def _rank(trial: Estimate) -> tuple[int, Decimal, str]:
    """Fewest errors first (none is best), then the least total, then by name so that ties fall the same way."""
    return sum(not check.tells_cost for check in trial.errors), trial.bill.totals.total.amount, describe(trial.mounting)


def _kept_decisions(kept: Estimate) -> tuple[Decision, ...]:
    """The decisions of an estimate that is priced again: what was given stays given, what was chosen is kept."""
    why = say("kept from the revision before")
    return tuple(each if each.given else replace(each, why=why, alternatives=()) for each in kept.decisions)


def describe(mounting: MountingChoice) -> str:
    """One mounting in a line."""
    rail = f", rail {mounting.rail.rail}" if mounting.rail else ""
    arrangement = mounting.arrangement.replace("_", " ")
    return f"{arrangement}, {mounting.material}, bracket {mounting.bracket.part}{rail}"


def explain(best: Estimate, trials: Sequence[Estimate], unfit: Sequence[Unfit]) -> tuple[Decision, ...]:
    """What was chosen for each subject, whether it was given, the best trial of every other option, what fell away."""
    job, choices = best.job, best.choices
    given = {
        "arrangement": (choices.arrangement or job.mounting.arrangement) is not None,
        "material": (choices.material or job.mounting.material) is not None,
        "rail_direction": job.mounting.rail_direction is not None,
        "bracket": job.mounting.bracket is not None,
        "rail": job.mounting.rail is not None,
    }
    decisions = []
    for subject, is_given in given.items():
        if _option(best.mounting, subject):
            fallen = [Alternative(each.option, None, (each.why,)) for each in unfit if each.subject == subject]
            decisions.append(_explain_one(subject, is_given, best, trials, fallen))
    return tuple(decisions)


def _option(mounting: MountingChoice, subject: str) -> str:
    options = {
        "arrangement": mounting.arrangement,
        "material": mounting.material,
        "rail_direction": mounting.rail_direction if mounting.rail else "",
        "bracket": mounting.bracket.part,
        "rail": mounting.rail.rail if mounting.rail else "",
    }
    return options[subject]


def _explain_one(
    subject: str, is_given: bool, best: Estimate, trials: Sequence[Estimate], fallen: Sequence[Alternative]
) -> Decision:
    chosen = _option(best.mounting, subject)
    others: dict[str, Estimate] = {}
    for trial in sorted(trials, key=_rank):
        option = _option(trial.mounting, subject)
        if option and option != chosen:
            others.setdefault(option, trial)
    alternatives = tuple(
        Alternative(option, trial.bill.totals.total, told_to_all(trial.errors)) for option, trial in others.items()
    )
    return Decision(subject, chosen, is_given, _why(subject, is_given, best, alternatives), (*alternatives, *fallen))


def told_to_all(checks: Iterable[Finding]) -> tuple[Sentence, ...]:
    """The checks in words, without those that tell something of costs."""
    return tuple(check.message for check in checks if not check.tells_cost)


def _why(subject: str, is_given: bool, best: Estimate, alternatives: Sequence[Alternative]) -> Sentence:
    if is_given:
        return say("given")
    if subject == "rail_direction":
        return say("the pricebook's default")
    if not alternatives:
        return say("the only one that fits")
    total = amount(best.bill.totals.total.amount, best.bill.totals.total.currency)
    if best.errors:
        failing = len(best.errors)
        return say("fewest checks fail ({count}), then the lowest total: {total}", count=failing, total=total)
    return say("the lowest total that passes every check: {total}", total=total)
