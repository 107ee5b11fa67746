"""What the customer may add: as changes of the bill where it is in the total, as lines beside it where it is not."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from estimator.buying.buy import buy
from estimator.buying.records import BuyLine
from estimator.errors import ChoiceRefused, Fault
from estimator.job import Choices, LineChange
from estimator.pricebook import Book
from estimator.sentences import say
from estimator.takeoff.records import NetLine


def with_alternates(net: Iterable[NetLine], book: Book, choices: Choices) -> tuple[LineChange, ...]:
    """The changes of lines, those alternates added that are in the total.

    Refuses (ChoiceRefused) an alternate that the book does not have, that the takeoff counts already, or that stands
    twice; all at once.
    """
    counted = {line.part for line in net if line.net} | {change.part for change in choices.line_changes}
    faults = []
    for at, each in enumerate(choices.alternates):
        where = f"/alternates/{at}/part"
        if each.part not in book.parts:
            faults.append(
                Fault(
                    where,
                    say("part {part} is not in pricebook {book}", part=repr(each.part), book=book.id),
                    say("a part of the pricebook"),
                )
            )
        elif each.part in counted:
            faults.append(
                Fault(
                    where, say("part {part} is in the bill already", part=repr(each.part)), say("a part that it lacks")
                )
            )
        counted.add(each.part)
    if faults:
        raise ChoiceRefused(say("alternates that cannot be offered"), faults)
    added = (
        LineChange(each.part, ordered=each.quantity, reason=each.note) for each in choices.alternates if each.included
    )
    return (*choices.line_changes, *added)


def alternates_beside(lines: Sequence[BuyLine], book: Book, choices: Choices) -> tuple[BuyLine, ...]:
    """The alternates that are not in the total, as lines of their own."""
    asked = [LineChange(each.part, ordered=each.quantity) for each in choices.alternates if not each.included]
    held = {line.part for line in lines}
    return buy((), book, [change for change in asked if change.part in book.parts and change.part not in held])
