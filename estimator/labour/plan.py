"""Hours by activity from the counts, and their price."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from estimator.job import Job
from estimator.labour.records import Labour, LabourLine
from estimator.money import Money, total, zero
from estimator.mounting.records import MountingChoice
from estimator.pricebook import Basis, Book, Condition, LabourActivity
from estimator.pricebook.conditions import applies, applies_to_sheet
from estimator.sentences import Sentence, figure, joined
from estimator.takeoff.bases import BASES
from estimator.takeoff.records import Counts, JobCounts

_HUNDREDTH = Decimal("0.01")


def plan_labour(job: Job, book: Book, choice: MountingChoice, counts: JobCounts) -> Labour:
    """Every activity of the book that applies to this mounting, with its hours and price.

    Hours = minutes * count / per / 60, to the hundredth; price = hours * hourly rate, rounded once.
    Source: the book's labour table (common practice, no source).
    """
    rail = choice.rail.rail if choice.rail else None
    mounting = (choice.arrangement, choice.material, choice.rail_direction, choice.bracket.part, rail)
    serving = [each for each in book.labour if applies(each.when, *mounting)]
    lines = tuple(
        line for line in (_activity_line(each, job, book, counts) for each in serving) if line.basis_count > 0
    )
    return Labour(
        lines=lines,
        hours=sum((line.hours for line in lines), Decimal(0)),
        price=total((line.price for line in lines), book.currency),
        cost=total((line.cost for line in lines), book.currency),
    )


def no_labour(book: Book) -> Labour:
    """A quote without labour."""
    return Labour((), Decimal(0), zero(book.currency), zero(book.currency))


def _activity_line(activity: LabourActivity, job: Job, book: Book, counts: JobCounts) -> LabourLine:
    number = basis_number(activity.for_each, activity.when, job, counts)
    hours = (activity.minutes * number / activity.per / 60).quantize(_HUNDREDTH, ROUND_HALF_UP)
    return LabourLine(
        activity=activity.activity,
        description=activity.description,
        basis=activity.for_each,
        basis_count=number,
        minutes_each=activity.minutes / activity.per,
        hours=hours,
        rate=book.labour_rate,
        price=Money(hours * book.labour_rate, book.currency).rounded(book.rounding),
        cost=Money(hours * book.labour_cost_rate, book.currency).rounded(book.rounding),
        why=_why(activity, number, hours),
    )


def _why(activity: LabourActivity, number: Decimal, hours: Decimal) -> Sentence:
    each = joined(" ", (figure(number), BASES[activity.for_each]))
    minutes = joined(" / ", (figure(activity.minutes, "", " min"), *([str(activity.per)] if activity.per != 1 else [])))
    return joined(" = ", (joined(" × ", (each, minutes)), figure(hours, "", " h")))


def basis_number(basis: Basis, when: Condition, job: Job, counts: JobCounts) -> Decimal:
    """A count by name, over the roofs whose sheet the condition takes; ``job`` is 1, bars are the job's."""
    if basis == "job":
        return Decimal(1)
    if basis == "bars":
        return Decimal(sum(counts.counts.bars.values()))
    if not when.sheet_materials:
        return _number(counts.counts, basis)
    roofs = [each for each in counts.roofs if applies_to_sheet(when, job.roofs[each.roof].sheet.material)]
    return sum((_number(each.counts, basis) for each in roofs), Decimal(0))


def _number(counts: Counts, basis: Basis) -> Decimal:
    value = getattr(counts, basis)
    return Decimal(value) if isinstance(value, int) else Decimal(repr(round(value, 1)))
