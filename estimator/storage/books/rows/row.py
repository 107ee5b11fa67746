"""One row of a table: its cells read by kind, each fault kept with file, row and column."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import TypeVar

from estimator.errors import Fault, FilePlace
from estimator.pricebook import POINTS, BookLocale
from estimator.pricebook.nearest import with_nearest
from estimator.sentences import Sentence, say
from estimator.storage.books.rows import cells
from estimator.storage.books.rows.cells import CellFault, Kind
from estimator.storage.books.rows.number_signs import Sign, in_points

Read = TypeVar("Read")


@dataclass(slots=True)
class Reading:
    """What the reading of one book shares: declared units, currency, locale, the logo's name, faults."""

    units: Mapping[str, str] = field(default_factory=dict)
    currency: str = ""
    logo: str = ""
    locale: BookLocale = POINTS
    faults: list[Fault] = field(default_factory=list)
    references: dict[tuple[str, str], list[Fault | None]] = field(default_factory=dict)
    """What rows name of other tables, by kind and name: a fault where it is not in the book."""


@dataclass(slots=True)
class Row:
    """One row. A cell at fault is noted and answered by a stand-in, so that the rest of the row is read as well.

    Checks on numbers see valid rows only.
    """

    file: str
    number: int
    cells: dict[str, str]
    reading: Reading
    sign: Sign = "."
    faulty: set[str] = field(default_factory=set)

    @property
    def sound(self) -> bool:
        """Whether no fault was found yet."""
        return not self.faulty

    def fault(self, column: str, message: Sentence, allowed: str = "") -> None:
        """Note a fault of this row."""
        self.reading.faults.append(Fault(FilePlace(self.file, self.number, column), message, allowed))
        self.faulty.add(column)

    def fill(self, texts: Mapping[str, str]) -> None:
        """Take the cells' texts, trimmed and checked for control characters."""
        for column, text in texts.items():
            self.cells[column] = self._read(column, lambda text=text: cells.plain_text(text), "")  # type: ignore[misc]

    def _read(self, column: str, read: Callable[[], Read], stand_in: Read) -> Read:
        try:
            return read()
        except CellFault as fault:
            self.fault(column, fault.message, fault.allowed)
            return stand_in

    def _number(self, text: str) -> str:
        """A number's text with a decimal point, however the table writes it."""
        return in_points(text, self.sign)

    def has(self, column: str) -> bool:
        """Whether the cell holds anything."""
        return bool(self.cells.get(column))

    def text(self, column: str) -> str:
        """A text that may be empty."""
        return self.cells.get(column, "")

    def needed(self, column: str) -> str:
        """A text that may not be empty; a column the table lacks is noted with its header already."""
        if column in self.cells and not self.has(column) and column not in self.faulty:
            self.fault(column, say("the cell is empty"), say("a value"))
        return self.text(column)

    def quantity(self, column: str, kind: Kind, *, zero: bool = False) -> float:
        """A quantity that must be given."""
        text = self.needed(column)
        if not text:
            return math.nan
        units = self.reading.units
        return self._read(column, lambda: cells.quantity(self._number(text), kind, units, zero=zero), math.nan)

    def quantity_or_none(self, column: str, kind: Kind, *, zero: bool = False) -> float | None:
        """A quantity that may be left out."""
        return self.quantity(column, kind, zero=zero) if self.has(column) else None

    def quantity_or(self, column: str, kind: Kind, default: float) -> float:
        """A quantity, nothing among them, or the default where the cell is empty."""
        return self.quantity(column, kind, zero=True) if self.has(column) else default

    def span(self, name: str, kind: Kind, *, zero: bool = False) -> tuple[float, float]:
        """A range from the columns ``<name>_min`` and ``<name>_max``."""
        low, high = (self.quantity(f"{name}_{end}", kind, zero=zero) for end in ("min", "max"))
        return self._ordered(name, low, high)

    def thickness(self, column: str, material: str) -> float:
        """A sheet thickness or gauge."""
        text = self.needed(column)
        read = self._read(column, lambda: cells.thickness(self._number(text), material, self.reading.units), math.nan)
        return read if text else math.nan

    def thickness_span(self, name: str, material: str) -> tuple[float, float]:
        """A range of sheet thicknesses."""
        low, high = (self.thickness(f"{name}_{end}", material) for end in ("min", "max"))
        return self._ordered(name, low, high)

    def _ordered(self, name: str, low: float, high: float) -> tuple[float, float]:
        if low > high:
            found = say(
                "{text} is below {text2}", text=repr(self.text(f"{name}_max")), text2=repr(self.text(f"{name}_min"))
            )
            self.fault(f"{name}_max", found, say("not below {name}_min", name=name))
        return low, high

    def decimal(self, column: str) -> Decimal:
        """An exact number that must be given."""
        text = self.needed(column)
        return self._read(column, lambda: cells.decimal(self._number(text)), Decimal(0)) if text else Decimal(0)

    def number_or(self, column: str, default: float | None) -> float | None:
        """A bare number above nothing, or the default where the cell is empty."""
        if not self.has(column):
            return default
        value = float(self.decimal(column))
        if value <= 0 and column not in self.faulty:
            self.fault(column, say("the number is nothing"), say("above 0"))
        return value

    def money(self, column: str) -> Decimal:
        """An amount that must be given."""
        text = self.needed(column)
        currency = self.reading.currency
        return self._read(column, lambda: cells.money(self._number(text), currency), Decimal(0)) if text else Decimal(0)

    def money_or_none(self, column: str) -> Decimal | None:
        """An amount that may be left out."""
        return self.money(column) if self.has(column) else None

    def share_or_none(self, column: str) -> Decimal | None:
        """A share that may be left out."""
        if not self.has(column):
            return None
        return self._read(column, lambda: cells.share(self._number(self.text(column))), Decimal(0))

    def count(self, column: str) -> Fraction:
        """A count, fractions among them, that must be given."""
        text = self.needed(column)
        return self._read(column, lambda: cells.fraction(self._number(text)), Fraction(1)) if text else Fraction(1)

    def whole_or(self, column: str, default: int, least: int = 1) -> int:
        """A whole number, or the default where the cell is empty."""
        if not self.has(column):
            return default
        return self._read(column, lambda: cells.whole(self._number(self.text(column)), least), default)

    def yes(self, column: str) -> bool:
        """Whether the cell says yes; an empty one says no."""
        return self.has(column) and self._read(column, lambda: cells.yes_or_no(self.text(column)), False)

    def one_of(self, column: str, allowed: Collection[str], *, empty: bool = False) -> str:
        """One word of a few; an empty cell is a fault unless allowed."""
        text = self.text(column) if empty else self.needed(column)
        if text and text not in allowed:
            self.fault(
                column,
                with_nearest(say("{text} is not known here", text=repr(text)), text, allowed),
                ", ".join(sorted(allowed)),
            )
        return text

    def some_of(self, column: str, allowed: Collection[str], *, empty: bool = True) -> frozenset[str]:
        """Several words of a few, separated by semicolons."""
        entries = cells.listed(self.text(column) if empty else self.needed(column))
        for entry in entries:
            if entry not in allowed:
                self.fault(
                    column, say("{entry} is not known here", entry=repr(entry)), ", ".join(sorted(allowed)) or "nothing"
                )
        return frozenset(entries)

    def reference(self, column: str, known: Collection[str], what: str, *, empty: bool = False) -> str:
        """The name of a row of another table; nothing is said where that table could not be read at all."""
        text = self.text(column) if empty else self.needed(column)
        if text and known:
            self._refer(column, text, known, what)
        return text

    def references(self, column: str, known: Collection[str], what: str) -> frozenset[str]:
        """Several names of rows of another table."""
        entries = cells.listed(self.text(column))
        for entry in entries:
            if known:
                self._refer(column, entry, known, what)
        return frozenset(entries)

    def _refer(self, column: str, name: str, known: Collection[str], what: str) -> None:
        named = self.reading.references.setdefault((what, name), [])
        if name in known:
            named.append(None)
            return
        self.fault(
            column,
            with_nearest(say("{what} {name} is not in the book", what=Sentence(what), name=repr(name)), name, known),
            some(known),
        )
        named.append(self.reading.faults[-1])


def some(names: Collection[str]) -> str:
    """The first dozen names, and how many more there are."""
    shown = sorted(names)[:12]
    rest = len(names) - len(shown)
    return ", ".join(shown) + (f" and {rest} more" if rest else "")
