"""What stands in a cell that may be changed, checked by its field; a fault says what is allowed there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from estimator.documents.workbook.entries import LARGEST_COUNT, Field
from estimator.documents.workbook_reading.arithmetic import plain_arithmetic
from estimator.documents.workbook_reading.cells import Cell
from estimator.documents.workbook_reading.changes import Figure
from estimator.sentences import Sentence, figure, say

DIGITS = 15
"""Significant digits that a spreadsheet keeps of a number."""
LARGEST_PRICE = Decimal("1E9")
LONGEST_REASON = 500
WORDS: frozenset[Field] = frozenset({"freight", "labour", "struck", "reason", "added_part", "override"})
"""Fields that hold words: no arithmetic is read in them."""


@dataclass(frozen=True, slots=True)
class UnfitCell:
    """Why what stands in a cell cannot be taken; ``at`` is the cell to blame, where that is another one."""

    message: Sentence
    allowed: str
    at: str = ""


class FormulaCell(UnfitCell):
    """A formula that is more than arithmetic: it is not read, and the cell is told as not taken."""


@dataclass(frozen=True, slots=True)
class Taking:
    """What the cells may hold beyond their kind: places of unit prices, and the words for yes and no."""

    price_places: int
    yes: str
    no: str


def figure_in(cell: Cell | None, field: Field, taking: Taking) -> Figure | UnfitCell:
    """The content of a cell as its field takes it; nothing for an empty cell."""
    if cell is None or (not cell.text.strip() and not cell.has_formula):
        return None
    if cell.has_formula:
        value = plain_arithmetic(cell.formula)
        if value is None or field in WORDS:
            return FormulaCell(Sentence(f"={cell.formula}"[:60]), say("digits, + - * / and brackets"))
        cell = Cell("n", f"{value:f}", has_formula=False)
    if cell.kind == "e":
        return UnfitCell(say("{text} stands in it", text=cell.text[:20]), say("a number or a text"))
    return _READERS[field](cell, taking)


def _number(cell: Cell) -> Decimal | None:
    """The number, cleared of what binary figures leave behind the fifteenth digit."""
    if cell.kind == "b":
        return None
    try:
        exact = Decimal(cell.text.strip())
    except InvalidOperation:
        return None
    if not exact.is_finite() or abs(exact.adjusted()) > 30:
        return None
    return kept_digits(exact)


def kept_digits(number: Decimal) -> Decimal:
    """A number to the digits that a spreadsheet keeps.

    >>> kept_digits(Decimal("0.14999999999999999"))
    Decimal('0.150000000000000')
    """
    return Decimal(f"{number:.{DIGITS - 1}e}") if number else Decimal(0)


def _share(cell: Cell, taking: Taking) -> Figure | UnfitCell:
    number = _number(cell)
    if number is None or not 0 <= number <= 1:
        return UnfitCell(say("{text} is no share", text=repr(cell.text[:40])), say("0 % to 100 %"))
    return _tidy(number)


def _margin(cell: Cell, taking: Taking) -> Figure | UnfitCell:
    number = _number(cell)
    if number is None or not 0 <= number < 1:
        return UnfitCell(say("{text} is no margin", text=repr(cell.text[:40])), say("0 % to below 100 %"))
    return _tidy(number)


def _count(cell: Cell, taking: Taking) -> Figure | UnfitCell:
    number = _number(cell)
    if number is None or number != number.to_integral_value() or not 0 <= number <= LARGEST_COUNT:
        return UnfitCell(
            say("{text} is no quantity", text=repr(cell.text[:40])),
            say("a whole number from 0 to {most}", most=LARGEST_COUNT),
        )
    return int(number)


def _price(cell: Cell, taking: Taking) -> Figure | UnfitCell:
    number = _number(cell)
    allowed = say("0 or more, with at most {price_places} decimals", price_places=taking.price_places)
    if number is None or not 0 <= number <= LARGEST_PRICE:
        return UnfitCell(say("{text} is no price", text=repr(cell.text[:40])), allowed)
    step = Decimal(1).scaleb(-taking.price_places)
    if number != number.quantize(step):
        return UnfitCell(say("{number} has too many decimals", number=figure(number, "f")), allowed)
    return number.quantize(step)


def _text(cell: Cell, taking: Taking) -> Figure | UnfitCell:
    return cell.text.strip()[:LONGEST_REASON]


def _mark(cell: Cell, taking: Taking) -> Figure | UnfitCell:
    """Anything that stands there strikes the line, as the sheet's own formula has it."""
    return True


def _switch(cell: Cell, taking: Taking) -> Figure | UnfitCell:
    word = cell.text.strip().casefold()
    if word not in (taking.yes.casefold(), taking.no.casefold()):
        return UnfitCell(
            say("{text} is neither", text=repr(cell.text[:40])), say("{yes} or {no}", yes=taking.yes, no=taking.no)
        )
    return word == taking.yes.casefold()


def _tidy(number: Decimal) -> Decimal:
    """Without trailing zeros, and without an exponent."""
    short = number.normalize()
    return short.quantize(Decimal(1)) if short == short.to_integral_value() else short


_READERS: dict[Field, Callable[[Cell, Taking], Figure | UnfitCell]] = {
    "margin": _margin,
    "discount": _share,
    "contingency": _share,
    "freight": _switch,
    "labour": _switch,
    "ordered": _count,
    "struck": _mark,
    "unit_price": _price,
    "line_discount": _share,
    "reason": _text,
    "added_part": _text,
    "override": _text,
}
