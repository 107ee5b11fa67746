"""One edition of a pricebook against another: what a pricing manager should look at before the new one is in force.

Parts are matched by number, in tables. Alarms are told apart from plain changes: a cost that moves by more than a
threshold, a margin outside 0 to 100 %, a part that is gone, and whatever changes what a line means (role, unit, pack).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

import pandas as pd

from estimator.pricebook.records import Book, Part
from estimator.sentences import Figure, figure, say

ALARM_SHARE = Decimal("0.1")
"""A cost that moves by more than this share is an alarm, where nobody asks for another; common practice, no source."""
COLUMNS = ("role", "material", "unit", "pack_size", "supplier", "list_price", "unit_mass_kg", "lead_time_days")
MEANING = frozenset({"role", "material", "unit", "pack_size"})
"""Columns whose change alters what a quantity or a price stands for."""


@dataclass(frozen=True, slots=True)
class EditionDifference:
    """One difference: of which part (or which head field), in which column, before and after; ``alarm`` says why."""

    of: str
    column: str
    before: str
    after: str
    alarm: str = ""


def against(after: Book, before: Book, alarm_share: Decimal = ALARM_SHARE) -> tuple[EditionDifference, ...]:
    """Every difference of an edition from an earlier one, those of the head first, then by part.

    Args:
        after: the edition that is checked.
        before: the edition it is held against.
        alarm_share: a cost that rises or falls by more than this share of the old one is an alarm.
    """
    return (*_of_heads(after, before), *_of_parts(after, before, alarm_share), *_margins(after))


def alarms_first(found: tuple[EditionDifference, ...]) -> tuple[EditionDifference, ...]:
    """The same with those that somebody should look at before the others."""
    return tuple(sorted(found, key=lambda each: not each.alarm))


def _of_heads(after: Book, before: Book) -> Iterator[EditionDifference]:
    for name in ("currency", "price_places", "pricing_method", "pricing_rate", "labour_rate", "packaging_share"):
        one, other = getattr(before, name), getattr(after, name)
        if one != other:
            alarm = say("amounts mean something else") if name in {"currency", "pricing_method"} else ""
            yield EditionDifference("book.toml", name, str(one), str(other), alarm)
    for name, one, other in (
        *((f"tiers.{each}", before.tiers.get(each), after.tiers.get(each)) for each in {**before.tiers, **after.tiers}),
        ("tax.rate", before.tax.rate, after.tax.rate),
        ("rules", len(before.rules), len(after.rules)),
    ):
        if one != other:
            lost = name.startswith("tiers.") and other is None
            gone = say("customers of this tier are refused") if lost else ""
            yield EditionDifference("book.toml", name, _told(one), _told(other), gone)


def _of_parts(after: Book, before: Book, alarm_share: Decimal) -> Iterator[EditionDifference]:
    tables = _table(before).add_suffix(" before"), _table(after).add_suffix(" after")
    both = tables[0].join(tables[1], how="outer").sort_index()
    for name, row in both.iterrows():
        part = str(name)
        if part not in after.parts:
            alarm = say("jobs and returned workbooks that name it fail")
            yield EditionDifference(part, "", say("in the book"), say("gone"), alarm)
        elif part not in before.parts:
            yield EditionDifference(part, "", say("not in the book"), say("new"))
        else:
            yield from _costs(before.parts[part], after.parts[part], alarm_share)
            for column in COLUMNS:
                one, other = row[f"{column} before"], row[f"{column} after"]
                if one != other:
                    means = say("a quantity or a price stands for something else") if column in MEANING else ""
                    yield EditionDifference(part, column, one, other, means)


def _table(book: Book) -> pd.DataFrame:
    """The parts of a book as texts, by number."""
    rows = {name: [_told(getattr(part, column)) for column in COLUMNS] for name, part in book.parts.items()}
    return pd.DataFrame.from_dict(rows, orient="index", columns=list(COLUMNS), dtype=object)


def _costs(before: Part, after: Part, alarm_share: Decimal) -> Iterator[EditionDifference]:
    """The cost of one piece, and of pieces from each quantity on where either edition has a break."""
    for quantity in sorted({1, *(each.from_quantity for part in (before, after) for each in part.breaks)}):
        one, other = cost_at(before, quantity), cost_at(after, quantity)
        if one != other:
            share = (other - one) / one if one else None
            alarm = say("no share can be told of a cost of nothing") if share is None else ""
            if share is not None and abs(share) > alarm_share:
                by = figure(abs(share), ".1%", measures="share")
                alarm = (
                    say("the cost rises by {share}", share=by)
                    if share > 0
                    else say("the cost falls by {share}", share=by)
                )
            column = "cost" if quantity == 1 else f"cost from {quantity}"
            yield EditionDifference(before.part, column, str(one), str(other), alarm)


def cost_at(part: Part, quantity: int) -> Decimal:
    """The unit cost of a quantity by the part's breaks."""
    return min([part.cost, *(each.cost for each in part.breaks if each.from_quantity <= quantity)])


def _margins(book: Book) -> Iterator[EditionDifference]:
    """List prices that are below cost or ask something for nothing: a margin outside 0 to 100 % of the price."""
    for part in book.parts.values():
        price = part.list_price
        if price is None:
            continue
        if not price:
            yield EditionDifference(part.part, "margin", str(part.cost), str(price), say("a list price of nothing"))
        elif price < part.cost:
            share = figure((price - part.cost) / price, ".1%", measures="share")
            alarm = say("the list price is below the cost: a margin of {share}", share=share)
            yield EditionDifference(part.part, "margin", str(part.cost), str(price), alarm)
        elif not part.cost:
            alarm = say("no cost: a margin of {share}", share=Figure("100 %", Decimal(1), "share"))
            yield EditionDifference(part.part, "margin", "0", str(price), alarm)


def _told(value: object) -> str:
    return "" if value is None else str(value)
