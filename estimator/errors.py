"""What can go wrong, in two kinds.

    EstimatorError                      no honest answer exists: the call is refused
    ├── Refused                         what was asked for cannot be answered as asked (faults with pointers)
    │   ├── JobRefused                  the posted job contradicts itself or lies outside what is known
    │   │   └── LoadsRefused            no loads follow from what the site gives
    │   ├── PricebookRefused            a book's files contradict themselves
    │   ├── ChoiceRefused               a choice (bracket, rail, tier, option) the book does not have
    │   │   ├── MountingRefused         no way of mounting fits roof, modules and choices
    │   │   ├── RateRefused             a margin, discount or contingency out of its range
    │   │   └── OverrideRefused         an override of nothing, or of what cannot be overridden
    │   └── NothingToWrite              a paper that would be empty
    ├── NotFound                        the thing named does not exist (or not for this client)
    ├── Conflict                        the thing's state does not allow it
    │   ├── NotYet                  it will allow it soon: asking again helps
    │   ├── StaleVersion                somebody changed it in between
    │   ├── StaleWorkbook               a workbook of a revision that was revised in between
    │   └── AlreadyUsed                 a reference, key or quote that can be used only once
    └── NotAllowed                      the key may not do this

A Finding is the other kind: there is an answer, and the estimator must see this beside it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from estimator.places import NOWHERE, Place
from estimator.sentences import Sentence, names, placed, say

MISSING = say("missing")
"""What a fault says where nothing stands."""
Severity = Literal["error", "warning", "note"]
Measure = float | str | None


NEVER_OVERRIDDEN = frozenset({"spans_without_loads"})
"""Codes of failed checks that no override lifts: there is nothing that somebody could answer for instead."""

ABOUT_COSTS = frozenset({"line_below_cost", "quote_below_cost", "next_break_costs_less"})
"""Codes of checks that tell something of what the house pays: only those who see costs are told, no customer is."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One failed check, or one thing worth knowing.

    Args:
        code: stable name of the check, in snake case.
        severity: ``error`` blocks issuing, ``warning`` is printed, ``note`` explains.
        message: what is found and allowed, in the estimator's words; it may name the place itself.
        place: what it is about, as a fact; with the code it names the check.
        found: what was found, in the unit ``unit`` names (a number in mm, N, Pa ... or a text).
        allowed: what is allowed, in the same form.
        unit: the unit of ``found`` and ``allowed``; empty for texts and plain counts.

    """

    code: str
    severity: Severity
    message: Sentence
    place: Place = NOWHERE
    found: Measure = None
    allowed: Measure = None
    unit: str = ""

    @property
    def where(self) -> str:
        """The place in English words; empty where there is none."""
        return str(self.place)

    @property
    def tells_cost(self) -> bool:
        """Whether it tells something of what the house pays."""
        return self.code in ABOUT_COSTS

    @property
    def told(self) -> Sentence:
        """The whole check in a sentence: its message, the place before it unless the message names it itself.

        >>> from estimator.sentences import say
        >>> here = Place(role="rail", part="R-52")
        >>> for message in (say("{at}: no joint", at=here), say("rail {rail}: no joint", rail="R-52"), say("no joint")):
        ...     print(Finding("moved", "note", message, here).told)
        rail R-52: no joint
        rail R-52: no joint
        rail R-52: no joint
        """
        begins = self.message.startswith(f"{self.place}: ")
        if not self.place or begins or names(self.message, self.place):
            return self.message
        return self._with_its_place() or placed(self.place, self.message)

    def _with_its_place(self) -> Sentence | None:
        """The message, where it begins with a wider place than its own, with its own instead.

        >>> from estimator.sentences import say
        >>> message = say("{where}: the gap is too narrow", where=Place(roof="South", array="A"))
        >>> str(Finding("narrow", "error", message, Place(roof="South", array="A", column=10)).told)
        'South / A / column 10: the gap is too narrow'
        """
        if not isinstance(self.message, Sentence):
            return None
        template, values, own = self.message.template, self.message.values, self.place.facts().items()
        for name, value in values:
            if isinstance(value, Place) and template.startswith(f"{{{name}}}: ") and value.facts().items() <= own:
                return Sentence(template, ((each, self.place if each == name else held) for each, held in values))
        return None


class FilePlace(str):
    """A place in the files of a pricebook as a text, with its parts: file, row as a spreadsheet counts, column or key.

    >>> place = FilePlace("brackets.csv", 4, "max_span")
    >>> place, place.file, place.row, place.column
    ('brackets.csv, row 4, column max_span', 'brackets.csv', 4, 'max_span')
    >>> FilePlace("book.toml", column="seller.logo")
    'book.toml, seller.logo'
    """

    __slots__ = ("column", "file", "row")
    file: str
    row: int | None
    column: str

    def __new__(cls, file: str, row: int | None = None, column: str = "") -> FilePlace:
        """A file, a row of it, or a column (in a file without rows a key)."""
        name = f"column {column}" if column and row is not None else column
        parts = (file, *([f"row {row}"] if row is not None else []), *([name] if name else []))
        made = super().__new__(cls, ", ".join(parts))
        made.file, made.row, made.column = file, row, column
        return made

    def __getnewargs__(self) -> tuple[str, int | None, str]:  # type: ignore[override]
        """What copying and pickling make it of."""
        return self.file, self.row, self.column


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of an input, with the place it stands at (a JSON Pointer, or a place in a pricebook's files)."""

    pointer: str
    message: Sentence
    allowed: str = ""

    @property
    def is_missing(self) -> bool:
        """Whether nothing stands there, so that ``allowed`` says what is wanted."""
        return isinstance(self.message, Sentence) and self.message.template == MISSING.template

    @property
    def file(self) -> str:
        """The file of a pricebook that it stands in; empty for faults of other inputs."""
        return self.pointer.file if isinstance(self.pointer, FilePlace) else ""


def said_by(trouble: Exception) -> Sentence:
    """What an exception says: the sentence that it was made with, or its text as it stands.

    >>> said_by(ValueError("no such day")).template
    'no such day'
    """
    first = trouble.args[0] if trouble.args else ""
    return first if isinstance(first, Sentence) else Sentence(str(trouble))


class EstimatorError(Exception):
    """Root of every refusal of this package; ``retry_after``: seconds to wait, where the same may be asked again."""

    retry_after: int | None = None

    def __init__(self, message: Sentence) -> None:
        super().__init__(message)

    @property
    def told(self) -> Sentence:
        """The refusal in a sentence, which a reader's language may have."""
        return said_by(self)


class Refused(EstimatorError):
    """The input cannot be answered as it stands; ``faults`` lists every reason at once."""

    def __init__(self, message: Sentence, faults: Iterable[Fault] = ()) -> None:
        super().__init__(message)
        self.faults: tuple[Fault, ...] = tuple(faults)


class JobRefused(Refused):
    """The job contradicts itself or lies outside what is known."""


class LoadsRefused(JobRefused):
    """No loads follow from what the site gives: something is missing, or lies outside what the standard covers."""


class PricebookRefused(Refused):
    """A pricebook's files contradict themselves or lack a part they name."""


class ChoiceRefused(Refused):
    """A choice that the pricebook does not have."""


class MountingRefused(ChoiceRefused):
    """No way of mounting fits roof, modules and choices."""


class RateRefused(ChoiceRefused):
    """A margin, discount or contingency out of its range."""


class OverrideRefused(ChoiceRefused):
    """An override of no failed check, or of one that cannot be overridden."""


class NothingToWrite(Refused):
    """A paper that would be empty: nothing to order, to pack or to price."""


class NotFound(EstimatorError):
    """The thing named does not exist, or not for this client."""


class Conflict(EstimatorError):
    """The state of the thing does not allow what was asked."""


class NotYet(Conflict):
    """The state of the thing does not allow what was asked now, and will soon: after so many seconds."""

    def __init__(self, message: Sentence, seconds: int) -> None:
        super().__init__(message)
        self.retry_after = seconds


class StaleVersion(Conflict):
    """Somebody changed the thing since it was read."""


class StaleWorkbook(Conflict):
    """A workbook of a revision that has been revised meanwhile; ``faults`` names what was changed on both sides."""

    def __init__(self, message: Sentence, faults: Iterable[Fault] = ()) -> None:
        super().__init__(message)
        self.faults: tuple[Fault, ...] = tuple(faults)


class AlreadyUsed(Conflict):
    """A reference, key or quote that can be used only once was used before."""


class NotAllowed(EstimatorError):
    """The key presented may not do this."""
