"""What an estimator changed in a workbook, and what becomes of it as choices for the next revision."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from decimal import Decimal

from estimator.comparison.records import FIRST
from estimator.documents.workbook.entries import Field, Kind
from estimator.errors import ChoiceRefused, Fault
from estimator.job import CheckOverride, Choices, LineChange
from estimator.places import Place
from estimator.sentences import say

Figure = Decimal | int | str | bool | None


@dataclass(frozen=True, slots=True)
class Change:
    """One changed cell: the part it is about (empty for the quote's own rates), the field, what stood and stands."""

    part: str
    field: Field
    old: Figure
    new: Figure
    cell: str
    reason: str = ""
    check: tuple[str, Place] | None = None


@dataclass(frozen=True, slots=True)
class NotTaken:
    """A cell whose change was ignored, and why it stays as it was.

    ``name`` is the part, the activity or the label it is about; ``detail`` the column of an activity.
    """

    name: str
    old: Decimal | str | None
    found: str
    cell: str
    reason: str = ""
    kind: Kind = "other"
    detail: str = ""


@dataclass(frozen=True, slots=True)
class WorkbookChanges:
    """All changes, all faults, and which changes were ignored.

    ``more_not_taken`` counts cells beyond those told one by one; ``sheet_total`` is the total as the file shows it,
    None where the program that saved it left no figure behind the formula.
    """

    changes: tuple[Change, ...] = ()
    faults: tuple[Fault, ...] = ()
    not_taken: tuple[NotTaken, ...] = ()
    more_not_taken: int = 0
    sheet_total: Decimal | None = field(default=None, compare=False)

    @property
    def line_changes(self) -> tuple[LineChange, ...]:
        """The changed, added and struck lines, one record a part."""
        return merged_lines((), self.changes)

    @property
    def line_discounts(self) -> tuple[tuple[str, Decimal], ...]:
        """The changed line discounts by part."""
        return tuple((each.part, _decimal(each)) for each in self.changes if each.field == "line_discount")

    def rate(self, field: Field) -> Decimal | None:
        """The changed margin, discount or contingency; None where it stands."""
        return next((_decimal(each) for each in self.changes if each.field == field), None)

    def switch(self, field: Field) -> bool | None:
        """Whether freight or labour is now part of the quote; None where that stands."""
        return next((bool(each.new) for each in self.changes if each.field == field), None)

    def applied(self, choices: Choices) -> Choices:
        """The choices of the revision: those of this one, with every change laid over them.

        Refuses (ChoiceRefused) while there are faults.
        """
        if self.faults:
            raise ChoiceRefused(say("the workbook holds entries that cannot be taken"), self.faults)
        discounts = {**dict(choices.line_discounts), **dict(self.line_discounts)}
        freight, labour = self.switch("freight"), self.switch("labour")
        margin, discount, contingency = self.rate("margin"), self.rate("discount"), self.rate("contingency")
        return replace(
            choices,
            margin=choices.margin if margin is None else margin,
            discount=choices.discount if discount is None else discount,
            contingency=choices.contingency if contingency is None else contingency,
            freight=choices.freight if freight is None else freight,
            labour=choices.labour if labour is None else labour,
            line_discounts=tuple((part, rate) for part, rate in discounts.items() if rate),
            line_changes=merged_lines(choices.line_changes, self.changes),
            overrides=self._overrides(choices),
        )

    def _overrides(self, choices: Choices) -> tuple[CheckOverride, ...]:
        """The words that let checks stand: those before, with the workbook's laid over them.

        The sheet has the checks of option A: a word given there is for that option alone, one for another option
        stays. A word about a part whose line was changed here no longer holds, unless it was given again.
        """
        kept = [word for word in choices.overrides if word.place.part not in self.changed_parts]
        others = [word for word in kept if word.option not in ("", FIRST)]
        words = {(word.code, word.place): word for word in kept if word not in others}
        option = FIRST if choices.options else ""
        for change in self.changes:
            if change.check is not None:
                words.pop(change.check, None)
                if change.new:
                    words[change.check] = CheckOverride(*change.check, str(change.new), option=option)
        return (*words.values(), *others)

    @property
    def changed_parts(self) -> frozenset[str]:
        """The parts whose lines were changed."""
        return frozenset(each.part for each in self.changes if each.part)


def merged_lines(before: tuple[LineChange, ...], changes: tuple[Change, ...]) -> tuple[LineChange, ...]:
    """Earlier changes of lines with the workbook's laid over them, one record a part.

    >>> new = Change("B-1", "ordered", 40, 60, "E5", "two more rows")
    >>> merged_lines((LineChange("B-1", unit_price=Decimal("3.20")),), (new,))
    (LineChange(part='B-1', ordered=60, unit_price=Decimal('3.20'), struck=False, reason='two more rows'),)
    """
    lines: dict[str, LineChange] = {}
    for line in before:
        lines[line.part] = _over(lines.get(line.part), line)
    for change in changes:
        lay = _LAYERS.get(change.field)
        if lay is not None:
            line = lay(lines.get(change.part, LineChange(change.part)), change)
            lines[change.part] = replace(line, reason=change.reason or line.reason)
    return tuple(
        line for line in lines.values() if line.struck or line.ordered is not None or line.unit_price is not None
    )


def _over(earlier: LineChange | None, later: LineChange) -> LineChange:
    """A later change of the same line over an earlier one, as the engine carries them out one after the other."""
    if earlier is None or later.struck:
        return later
    return LineChange(
        later.part,
        earlier.ordered if later.ordered is None else later.ordered,
        earlier.unit_price if later.unit_price is None else later.unit_price,
        struck=earlier.struck and later.ordered is None,
        reason=later.reason or earlier.reason,
    )


def _with_ordered(line: LineChange, change: Change) -> LineChange:
    assert isinstance(change.new, int)
    return replace(line, ordered=change.new, struck=False)


def _with_price(line: LineChange, change: Change) -> LineChange:
    return replace(line, unit_price=None if change.new is None else _decimal(change))


def _struck(line: LineChange, change: Change) -> LineChange:
    return LineChange(line.part, struck=True, reason=line.reason)


_LAYERS: dict[Field, Callable[[LineChange, Change], LineChange]] = {
    "ordered": _with_ordered,
    "added_part": _with_ordered,
    "unit_price": _with_price,
    "struck": _struck,
}


def _decimal(change: Change) -> Decimal:
    assert isinstance(change.new, Decimal)
    return change.new
