"""Whether what is ordered can be there when the site needs it, in calendar days from the quote's date."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from estimator.buying.records import BuyLine
from estimator.errors import Finding
from estimator.job import day_of
from estimator.pricebook import Book, lead_time_of
from estimator.sentences import day, say


def lead_time_findings(lines: Sequence[BuyLine], needed_on: str, book: Book, on: date) -> Iterator[Finding]:
    """A day in the past is an error; a part that takes longer than is left is a warning, once for each part.

    Lead times are the parts' own, else their suppliers'; source: the book. Days are calendar days from the date of
    pricing (common practice, no source).
    """
    wanted = day_of(needed_on)
    if wanted is None:
        return
    left = (wanted - on).days
    if left < 0:
        message = say("needed on {day}, which is past on the day of pricing, {on}", day=day(wanted), on=day(on))
        yield Finding("needed_in_the_past", "error", message, found=needed_on, allowed=on.isoformat())
        return
    for line in lines:
        days = lead_time_of(book, line.part) if line.ordered else 0
        if days > left:
            message = say(
                "{part}, {description}: {days} days from the order, needed in {left}",
                part=line.part,
                description=line.description,
                days=str(days),
                left=str(left),
            )
            yield Finding("lead_time_too_long", "warning", message, found=days, allowed=left, unit="d")
