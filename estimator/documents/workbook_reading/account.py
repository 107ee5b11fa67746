"""Why the total of a workbook is not that of the revision made from it: each cause in money, adding up to the whole.

The sheet is calculated as its own formulas do, with the lines and the cut plan it was written with: first with the
changes that were taken, then with each change that was not taken, one after the other. What a change adds there is what
the revision lacks of it. What is then left between sheet and revision is another cut plan.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal, InvalidOperation

from estimator.buying import BuyLine, buy, line_mass
from estimator.buying.alternates import with_alternates
from estimator.comparison.records import Offer
from estimator.documents.workbook_reading.changes import NotTaken, WorkbookChanges
from estimator.estimate import Estimate
from estimator.freight import charge_freight, no_freight
from estimator.job import Choices
from estimator.labour import no_labour, plan_labour
from estimator.labour.records import Labour
from estimator.money import Money
from estimator.pricebook import Book
from estimator.pricing import PricedLine, price
from estimator.pricing.records import Totals
from estimator.pricing.totals import Additions, add_up
from estimator.takeoff.records import NetLine

CAUSES = ("change_not_taken", "changed_meanwhile", "other_cut_plan", "not_recalculated", "other_change_not_taken")
MOST_RECKONED = 50
"""Changes that were not taken and that are calculated one by one; what the others make is one cause."""


@dataclass(frozen=True, slots=True)
class Cause:
    """One cause of a difference: ``amount`` is what the revision has more than the sheet because of it."""

    cause: str
    amount: Money
    cell: str = ""
    about: str = ""


@dataclass(frozen=True, slots=True)
class Account:
    """The sheet's total, the revision's, and the causes between them, which add up.

    ``reckoned``: the program that saved the file left no total in it; it was calculated as the sheet's formulas do.
    """

    sheet_total: Money
    revision_total: Money
    causes: tuple[Cause, ...]
    reckoned: bool


@dataclass(frozen=True, slots=True)
class _Sheet:
    """The figures that a sheet's formulas start from; ``prices`` and ``totals`` are those typed over a formula."""

    estimate: Estimate
    book: Book
    choices: Choices
    lines: tuple[BuyLine, ...]
    labour: Labour
    prices: Mapping[str, Decimal] = field(default_factory=dict)
    unit_prices: Mapping[str, Decimal] = field(default_factory=dict)
    totals: Mapping[str, Decimal] = field(default_factory=dict)

    def total(self) -> Money:
        """The grand total as the formulas give it."""
        estimate, book = self.estimate, self.book
        shipped = charge_freight(self.lines, book, estimate.job.site.freight_zone)
        freight = shipped if self.choices.freight else no_freight(shipped)
        bill = price(self.lines, freight, self.labour, book, self.choices, estimate.job.customer.tier)
        lines = tuple(self._typed(line) for line in bill.lines)
        rates = bill.totals.discount_rate, bill.totals.contingency_rate
        additions = Additions(*rates, freight.charge, self.labour.price, self.labour.cost)
        return self._chained(add_up(lines, additions, book))

    def _typed(self, line: PricedLine) -> PricedLine:
        part, book = line.line.part, self.book
        if part in self.unit_prices:
            amount = line.line.ordered * self.unit_prices[part] * (1 - line.discount)
            line = replace(line, price=Money(amount, book.currency).rounded(book.rounding))
        return replace(line, price=Money(self.prices[part], book.currency)) if part in self.prices else line

    def _chained(self, totals: Totals) -> Money:
        """The chain of totals, where some of them are typed over."""
        if not self.totals:
            return totals.total
        rounding, currency = self.book.rounding, self.book.currency

        def take(name: str, reckoned: Money) -> Money:
            return Money(self.totals[name], currency) if name in self.totals else reckoned.rounded(rounding)

        parts = take("PartsTotal", totals.parts)
        discount = take("QuoteDiscount", parts * totals.discount_rate)
        freight, labour = take("FreightTotal", totals.freight), take("LabourTotal", totals.labour)
        base = parts - discount + freight + labour
        contingency = take("ContingencyTotal", base * totals.contingency_rate)
        before_tax = take("BeforeTax", base + contingency)
        amounts = {"parts": parts - discount, "freight": freight, "labour": labour, "contingency": contingency}
        taxed = sum((amounts[name].amount for name in self.book.tax.on), Decimal(0))
        whole = Money(taxed * totals.tax_rate, currency)
        tax = take("TaxTotal", totals.tax if totals.tax_per == "line" else whole)
        return take("GrandTotal", before_tax + tax)


def account(changes: WorkbookChanges, before: Offer, base: Offer, after: Offer) -> Account:
    """The account between a workbook and the revision made from it.

    Args:
        changes: what was read from the workbook.
        before: the offer the workbook was written from.
        base: the offer its changes were laid over: the same, or a later one where both were merged.
        after: the offer of the revision.

    """
    old = before.estimate
    sheet = _sheet_of(old, changes.applied(replace(old.choices, overrides=old.overridden)))
    model = sheet.total()
    taken_total = model
    causes: list[Cause] = []
    for left in changes.not_taken[:MOST_RECKONED]:
        figure = _figure(left.found)
        change = _CHANGES.get(left.kind)
        if change is None or figure is None:
            continue
        sheet = change(sheet, left, figure)
        now = sheet.total()
        if now != model:
            causes.append(Cause("change_not_taken", model - now, left.cell, left.name))
        model = now
    shown = _shown(changes, model)
    revision = after.estimate.bill.totals.total
    merged = taken_total if base is before else _sheet_of(base.estimate, after.estimate.choices).total()
    if merged != taken_total:
        causes.append(Cause("changed_meanwhile", merged - taken_total))
    if revision != merged:
        causes.append(Cause("other_cut_plan", revision - merged))
    if shown != model:
        stale = shown == before.estimate.bill.totals.total
        causes.append(Cause("not_recalculated" if stale else "other_change_not_taken", model - shown))
    return Account(shown, revision, tuple(causes), changes.sheet_total is None)


def _shown(changes: WorkbookChanges, model: Money) -> Money:
    """The total that the file shows, cleared of what binary figures leave; without one the reckoned total."""
    if changes.sheet_total is None:
        return model
    return Money(changes.sheet_total, model.currency).rounded()


def _sheet_of(before: Estimate, choices: Choices) -> _Sheet:
    """The sheet's lines, counted and cut as it was written, by those choices."""
    book = before.book
    net = [
        NetLine(each.line.part, each.line.role, each.line.net, each.line.shares)
        for each in before.bill.lines
        if each.line.shares
    ]
    lines = buy(net, book, with_alternates(net, book, choices))
    labour = plan_labour(before.job, book, before.mounting, before.counts) if choices.labour else no_labour(book)
    return _Sheet(before, book, choices, lines, labour)


def _figure(text: str) -> Decimal | None:
    try:
        number = Decimal(text.strip())
    except InvalidOperation:
        return None
    return number if number.is_finite() and number.adjusted() < 12 else None


def _minor(sheet: _Sheet, figure: Decimal) -> Decimal:
    return Money(figure, sheet.book.currency).rounded(sheet.book.rounding).amount


def _unit_cost(sheet: _Sheet, left: NotTaken, figure: Decimal) -> _Sheet:
    part = sheet.book.parts.get(left.name)
    return sheet if part is None else _with_part(sheet, left.name, cost=figure, breaks=())


def _list_price(sheet: _Sheet, left: NotTaken, figure: Decimal) -> _Sheet:
    return _with_part(sheet, left.name, list_price=figure) if left.name in sheet.book.parts else sheet


def _with_part(sheet: _Sheet, part: str, **changes: object) -> _Sheet:
    parts = {**sheet.book.parts, part: replace(sheet.book.parts[part], **changes)}  # type: ignore[arg-type]
    return replace(sheet, book=replace(sheet.book, parts=parts))


def _unit_price(sheet: _Sheet, left: NotTaken, figure: Decimal) -> _Sheet:
    return replace(sheet, unit_prices={**sheet.unit_prices, left.name: figure})


def _line_price(sheet: _Sheet, left: NotTaken, figure: Decimal) -> _Sheet:
    return replace(sheet, prices={**sheet.prices, left.name: _minor(sheet, figure)})


def _quantity(sheet: _Sheet, left: NotTaken, figure: Decimal) -> _Sheet:
    if figure != figure.to_integral_value():
        return sheet
    count = int(figure)
    lines = tuple(
        replace(line, ordered=count, mass_kg=float(line_mass(sheet.book.parts[line.part], count)))
        if line.part == left.name
        else line
        for line in sheet.lines
    )
    return replace(sheet, lines=lines)


def _total(sheet: _Sheet, left: NotTaken, figure: Decimal) -> _Sheet:
    return replace(sheet, totals={**sheet.totals, left.name: _minor(sheet, figure)})


def _rate(sheet: _Sheet, left: NotTaken, figure: Decimal) -> _Sheet:
    if not 0 <= figure < 100:
        return sheet
    if left.name == "TaxRate":
        return replace(sheet, book=replace(sheet.book, tax=replace(sheet.book.tax, rate=figure)))
    return replace(sheet, book=replace(sheet.book, pricing_rate=figure))


def _labour(sheet: _Sheet, left: NotTaken, figure: Decimal) -> _Sheet:
    """Hours by the minutes typed, to the hundredth, and each line's price rounded once, as the sheet does."""
    labour, book = sheet.labour, sheet.book
    rate = figure if left.name == "LabourRate" else None
    lines = []
    for line in labour.lines:
        hours, amount = line.hours, line.price
        if line.activity == left.name and left.detail == "minutes" and isinstance(left.old, Decimal) and left.old:
            hours = (hours * figure / left.old).quantize(Decimal("0.01"))
        elif line.activity == left.name and left.detail == "hours":
            hours = figure
        if line.activity == left.name and left.detail == "price":
            amount = Money(figure, book.currency)
        elif hours != line.hours or rate is not None:
            amount = Money(hours * (line.rate if rate is None else rate), book.currency).rounded(book.rounding)
        lines.append(replace(line, hours=hours, price=amount))
    whole = Money(sum((line.price.amount for line in lines), Decimal(0)), book.currency)
    return replace(sheet, labour=replace(labour, lines=tuple(lines), price=whole))


_CHANGES: dict[str, Callable[[_Sheet, NotTaken, Decimal], _Sheet]] = {
    "unit_cost": _unit_cost,
    "list_price": _list_price,
    "unit_price": _unit_price,
    "line_price": _line_price,
    "quantity": _quantity,
    "total": _total,
    "rate": _rate,
    "labour": _labour,
}
