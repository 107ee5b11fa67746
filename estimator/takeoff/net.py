"""Net parts: what the assembly rules ask for the counts of a job, and the bars of its cut plan."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from estimator.cutting import CutPlan
from estimator.errors import Fault, PricebookRefused
from estimator.job import Job
from estimator.mounting import MountingChoice
from estimator.pricebook import AssemblyRule, Basis, Book
from estimator.pricebook.conditions import applies, applies_to_sheet
from estimator.sentences import Figure, say
from estimator.takeoff.cut_shares import length_text
from estimator.takeoff.records import Counts, JobCounts, NetLine, RoofCounts, RuleShare
from estimator.takeoff.rule_parts import part_of_rule

Places = tuple[tuple[str, Fraction], ...]
_COUNTED: tuple[tuple[str, Basis], ...] = (
    ("bracket", "attachments"),
    ("mid_clamp", "mid_clamps"),
    ("end_clamp", "end_clamps"),
    ("splice", "splices"),
    ("expansion_splice", "expansion_splices"),
)


def net_lines(
    job: Job, book: Book, choice: MountingChoice, counts: JobCounts, cut_plan: CutPlan | None
) -> tuple[NetLine, ...]:
    """Every part the job needs, before spares and packs: bars from the cut plan, the rest from the book's rules.

    What the rules ask of one part is summed as exact fractions and rounded up to a whole part once. A condition on the
    sheet is asked roof by roof; bars and the job as a whole belong to no roof, so there it holds where any roof meets
    it. Errors: PricebookRefused where a rule's part is missing or ambiguous, or where no rule counts a bracket, clamp
    or splice that the job has. Source: common practice, no source.

    29 modules at two clips each and one label for each ten: 58 clips; 29 / 10 = 2.9, so 3 labels.
    """
    shares = _bar_shares(cut_plan)
    bars = frozenset(shares)
    for rule in book.rules:
        share = _share(job, choice, rule, counts)
        if share is not None:
            shares.setdefault(part_of_rule(book, choice, rule).part, []).append(share)
    lines = tuple(
        NetLine(
            part,
            "rail" if part in bars else book.parts[part].role,
            ceil(sum(each.asked for each in asked)),
            tuple(asked),
        )
        for part, asked in shares.items()
    )
    _refuse_uncounted(book, counts.counts, {line.role for line in lines})
    return lines


def _bar_shares(plan: CutPlan | None) -> dict[str, list[RuleShare]]:
    """What the cut plan asks, by part; a rule may ask for more of the same bars."""
    shares: dict[str, list[RuleShare]] = {}
    for each in plan.bars_by_length if plan else ():
        bars = Fraction(each.count)
        length = Figure(f"{length_text(each.length)} mm", each.length / 10, "length")
        note = say("bars of {length} from the cut plan", length=length)
        share = RuleShare(say("cut plan"), Fraction(1), "bars", 1, bars, bars, (), note)
        shares.setdefault(each.part, []).append(share)
    return shares


def _share(job: Job, choice: MountingChoice, rule: AssemblyRule, counts: JobCounts) -> RuleShare | None:
    """What one rule asks in this job; None where it does not apply or there is nothing to count."""
    rail = choice.rail.rail if choice.rail else None
    if not applies(rule.when, choice.arrangement, choice.material, choice.rail_direction, choice.bracket.part, rail):
        return None
    roofs = [each for each in counts.roofs if applies_to_sheet(rule.when, job.roofs[each.roof].sheet.material)]
    each = rule.count / rule.per
    if rule.for_each in ("job", "bars"):
        basis = _of_the_job(rule.for_each, counts.counts) if roofs else Fraction(0)
        places: Places = ()
    else:
        amounts = [place for roof in roofs for place in _amounts(rule.for_each, roof)]
        basis = sum((amount for _, amount in amounts), Fraction(0))
        places = tuple((label, amount * each) for label, amount in amounts if amount)
    if not basis:
        return None
    return RuleShare(rule.rule, rule.count, rule.for_each, rule.per, basis, basis * each, places, rule.note)


def _of_the_job(basis: Basis, counts: Counts) -> Fraction:
    return Fraction(1) if basis == "job" else Fraction(sum(counts.bars.values()))


def _amounts(basis: Basis, roof: RoofCounts) -> Iterator[tuple[str, Fraction]]:
    """The count of every place of one roof that has it, labelled as the estimator reads it."""
    if basis == "roofs":
        yield roof.name, Fraction(1)
        return
    for array in roof.arrays:
        yield f"{roof.name} / {array.name}", _exact(getattr(array.counts, basis))


def _exact(number: float) -> Fraction:
    """A count as it is; a length or a power to the thousandth."""
    return Fraction(number) if isinstance(number, int) else Fraction(round(number * 1000), 1000)


def _refuse_uncounted(book: Book, counts: Counts, roles: set[str]) -> None:
    missing = [(role, basis) for role, basis in _COUNTED if getattr(counts, basis) and role not in roles]
    if missing:
        faults = [
            Fault(
                "assembly_rules.csv",
                say("no rule counts a {role} in this mounting", role=role),
                say("a row with for_each {basis}", basis=basis),
            )
            for role, basis in missing
        ]
        raise PricebookRefused(
            say("the rules of pricebook {book} leave structural parts uncounted", book=book.id), faults
        )
