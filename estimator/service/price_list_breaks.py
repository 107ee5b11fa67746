"""Quantity breaks of a supplier's price list: rows or columns of it to breaks of a part, and into the book's table."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from estimator.errors import Fault
from estimator.pricebook import Part
from estimator.sentences import say

Breaks = tuple[tuple[int, Decimal], ...]
"""Quantities from which a cost holds, the smallest first."""
TABLE = "price_breaks.csv"
HEAD = ("part", "from_quantity", "cost")
MOST_QUANTITY = 10_000_000


@dataclass(frozen=True, slots=True)
class BreakColumn:
    """A column with the prices that hold from a quantity on."""

    column: str
    quantity: int


def quantity_in(cell: str, number: Decimal | None, column: str, place: str) -> int | Fault:
    """The quantity from which a row's price holds; 1 where the cell is empty."""
    if not cell:
        return 1
    if number is None or not 0 <= number <= MOST_QUANTITY or number != int(number):
        return Fault(
            place,
            say("{price_per}: {said} is no quantity", price_per=column, said=repr(cell)),
            say("a whole number up to {most}, or nothing", most=MOST_QUANTITY),
        )
    return max(1, int(number))


def rising(cost: Decimal, breaks: Sequence[tuple[int, Decimal]], place: str) -> Breaks | list[Fault]:
    """Breaks in order, or what is wrong with them: a quantity twice, or a price that rises with the quantity."""
    ordered = sorted(breaks)
    faults = [
        Fault(place, say("two prices from {quantity} on", quantity=quantity), say("one price for each quantity"))
        for (quantity, _), (other, _) in pairwise(ordered)
        if quantity == other
    ]
    before = cost
    for quantity, each in ordered if not faults else ():
        if each > before:
            dearer = say("{cost} from {quantity} on is dearer than fewer", cost=f"{each:f}", quantity=quantity)
            faults.append(Fault(place, dearer, say("at most {most}", most=f"{before:f}")))
        before = min(before, each)
    return faults or tuple(ordered)


def breaks_of(part: Part) -> Breaks:
    """A part's breaks as the book has them."""
    return tuple((each.from_quantity, each.cost) for each in part.breaks)


def table_with(content: bytes | None, changes: Mapping[str, Breaks]) -> bytes:
    """The book's table with other breaks of these parts, at the place of the first; every other row as it was."""
    text = (content or ",".join(HEAD).encode()).decode("utf-8-sig")
    separator = max(",;\t", key=text.split("\n", 1)[0].count)
    rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator))
    names = [each.strip() for each in rows[0]]
    at = {name: names.index(name) for name in HEAD}
    comma = any(re.fullmatch(r"\d+,\d+", row[at["cost"]]) for row in rows[1:] if len(row) == len(names))

    def written(part: str, quantity: int, cost: Decimal) -> list[str]:
        row = [""] * len(names)
        row[at["part"]], row[at["from_quantity"]] = part, str(quantity)
        row[at["cost"]] = f"{cost:f}".replace(".", "," if comma else ".")
        return row

    made, left = [rows[0]], dict(changes)
    for row in rows[1:]:
        part = row[at["part"]].strip() if len(row) == len(names) else ""
        if part not in changes:
            made.append(row)
        made += [written(part, *each) for each in left.pop(part, ())]
    made += [written(part, *each) for part, breaks in left.items() for each in breaks]
    stream = io.StringIO()
    csv.writer(stream, delimiter=separator, lineterminator="\n").writerows(made)
    return stream.getvalue().encode()
