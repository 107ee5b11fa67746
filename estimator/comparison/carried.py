"""What of an estimator's changes of lines holds in an option, too, whose parts are others.

A removed line and a discount follow what the part does (its role), where one part does it in both ways: they are
about the job. A price belongs to its part alone. A quantity by hand is taken where the option requires as many
of the part, and a line that is added is added in every option. What does not match is reported, never dropped silently.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.buying import BuyLine
from estimator.errors import Finding
from estimator.estimate import Estimate
from estimator.job import Choices, LineChange
from estimator.places import Place
from estimator.sentences import Sentence, figure, placed, say

CODE = "change_not_in_option"
Discounts = tuple[tuple[str, Decimal], ...]


def lines_carried(
    chosen: Estimate, option: Estimate, choices: Choices
) -> tuple[tuple[LineChange, ...], Discounts, tuple[Finding, ...]]:
    """The changes and discounts of lines as the option has them, and a note for each that does not match.

    Args:
        chosen: option A, priced with the choices.
        option: the option, priced without changes of lines.
        choices: what was asked for option A.

    """
    sides = _Sides(chosen, option)
    changes: dict[str, LineChange] = {}
    discounts: dict[str, Decimal] = {}
    notes: list[Finding] = []
    for change in choices.line_changes:
        carried, why = sides.change(change)
        if carried is not None:
            changes[carried.part] = carried
        if why:
            notes.append(_note(change.part, why))
    for part, rate in choices.line_discounts:
        same = sides.same(part)
        if same:
            discounts[same] = rate
        elif rate:
            notes.append(_note(part, say("its discount is left out: no part of this option takes its place alone")))
    return tuple(changes.values()), tuple(discounts.items()), tuple(notes)


@dataclass(frozen=True, slots=True)
class _Sides:
    """Both ways, and which part of one stands for which of the other."""

    chosen: Estimate
    option: Estimate

    def change(self, change: LineChange) -> tuple[LineChange | None, Sentence | None]:
        """A change as the option has it, or nothing, and what of it is left out."""
        held, was = _line(self.option, change.part), _line(self.chosen, change.part)
        if held is None and not change.struck and was is not None and not was.shares:
            return change, None
        if change.struck:
            same = self.same(change.part)
            if not same:
                return None, say("it is struck in option A: no part of this option takes its place alone")
            return replace(change, part=same, ordered=None, unit_price=None), None
        if held is None:
            return None, say("its quantity or price by hand is left out: this option does without the part")
        if change.ordered is None or (was is not None and was.net == held.net):
            return change, None
        left = say(
            "its quantity by hand is left out: the counts require {option} here and {quoted} in option A",
            option=figure(held.net, ".0f"),
            quoted=figure(was.net if was else 0, ".0f"),
        )
        priced = replace(change, ordered=None) if change.unit_price is not None else None
        return priced, left

    def same(self, part: str) -> str:
        """The part itself where the option has it; else the only part of its role, where it is the only one, too."""
        if _line(self.option, part) is not None:
            return part
        known = self.chosen.book.parts.get(part)
        if known is None:
            return ""
        here = {line.part for line in _counted(self.chosen) if line.role == known.role} | {part}
        there = [line.part for line in _counted(self.option) if line.role == known.role]
        return there[0] if len(there) == 1 and len(here) == 1 else ""


def _line(made: Estimate, part: str) -> BuyLine | None:
    return next((each.line for each in made.bill.lines if each.line.part == part), None)


def _counted(made: Estimate) -> Sequence[BuyLine]:
    return [each.line for each in made.bill.lines if each.line.shares]


def _note(part: str, why: Sentence) -> Finding:
    place = Place(part=part)
    return Finding(CODE, "note", placed(place, why), place)
