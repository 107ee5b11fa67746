"""What a change would do to a quote, or what differs between two revisions: totals, lines, counts, inputs, checks."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from typing import Any

from estimator.comparison.records import Offer
from estimator.documents.language.texts import Reader, mark
from estimator.documents.language.words import check_where
from estimator.money import Money
from estimator.service.quoting.differences import Difference, Differences, differences
from estimator.service.quoting.quotes import PricingRequest
from estimator.service.quoting.stored.quotes import WholeQuote
from estimator.web.forms.choice_entries import FIELDS, ROWS
from estimator.web.forms.entries import FormEntry

TOTALS = {
    "parts": mark("Parts"), "discount": mark("Discount"), "freight": mark("Freight"), "labour": mark("Labour"),
    "contingency": mark("Contingency"), "before_tax": mark("Total before tax"), "tax": mark("Tax"),
    "total": mark("Total"), "cost": mark("Cost"), "margin": mark("Margin"), "margin_rate": mark("Margin rate"),
}  # fmt: skip
OF_LINES = {"/line_changes": mark("Lines"), "/line_discounts": mark("discount of the line")}


@dataclass(frozen=True, slots=True)
class ChangedFigure:
    """One figure before and after, as they are written, and the difference where it is an amount."""

    label: str
    before: str
    after: str
    change: str = ""


@dataclass(frozen=True, slots=True)
class EffectView:
    """Everything that differs; ``same`` where nothing does."""

    totals: tuple[ChangedFigure, ...]
    lines: tuple[ChangedFigure, ...]
    counts: tuple[ChangedFigure, ...]
    inputs: tuple[ChangedFigure, ...]
    edition: tuple[ChangedFigure, ...]
    failing: tuple[str, ...]

    @property
    def same(self) -> bool:
        """Whether nothing differs."""
        return not (self.totals or self.lines or self.counts or self.inputs or self.edition)


def effect_of(before: WholeQuote, pricing: PricingRequest, offer: Offer, reader: Reader, *, costs: bool) -> EffectView:
    """What a change that is not stored would do."""
    card = replace(before.card, job_document=pricing.job_document, choices=pricing.choices_document)
    return effect_between(before, WholeQuote(card, offer), reader, costs=costs)


def effect_between(before: WholeQuote, after: WholeQuote, reader: Reader, *, costs: bool) -> EffectView:
    """What differs between two."""
    found = differences(before, after, costs=costs)
    currency = after.offer.estimate.bill.currency
    return EffectView(
        totals=tuple(_total(each, currency, reader) for each in found.totals),
        lines=_lines(found, currency, reader),
        counts=tuple(_step(each, reader.texts.t(_words(each))) for each in found.counts),
        inputs=tuple(_asked(each, reader) for each in (*found.inputs, *found.choices)),
        edition=tuple(_step(each, each.place) for each in found.edition if _name(each) in {"pricebook", "edition"}),
        failing=tuple(check_where(check, reader) for check in after.offer.estimate.errors[:20]),
    )


def _name(each: Difference) -> str:
    return each.place.removeprefix("/")


def _words(each: Difference) -> str:
    return _name(each).replace("_", " ")


def _total(each: Difference, currency: str, reader: Reader) -> ChangedFigure:
    label = reader.texts.t(TOTALS.get(_name(each), _words(each)))
    before, after = _amount(each.before), _amount(each.after)
    if before is None or after is None or _name(each).endswith("rate"):
        shown = [reader.formats.percent(number) if number is not None else "" for number in (before, after)]
        return ChangedFigure(label, shown[0], shown[1])
    money = reader.formats.money
    change = Money(after - before, currency)
    return ChangedFigure(label, money(Money(before, currency)), money(Money(after, currency)), _signed(change, reader))


def _lines(found: Differences, currency: str, reader: Reader) -> tuple[ChangedFigure, ...]:
    steps = []
    for each in found.lines:
        texts, prices = [], []
        for line in (each.before, each.after):
            prices.append(line.price.amount if line else Decimal(0))
            unit = reader.formats.unit_price(line.unit_price, currency) if line else ""
            texts.append(f"{reader.formats.count(line.line.ordered)} × {unit}" if line else "–")
        change = Money(prices[1] - prices[0], currency)
        steps.append(
            ChangedFigure(f"{each.part} {reader.say(each.description)}", texts[0], texts[1], _signed(change, reader))
        )
    return tuple(steps)


def _signed(change: Money, reader: Reader) -> str:
    text = reader.formats.money(change)
    return f"+{text}" if change.amount > 0 else text


def _asked(each: Difference, reader: Reader) -> ChangedFigure:
    """What was asked for, in the words of its field where the place has one."""
    entry = next((entry for entry in (*FIELDS, *ROWS) if f"/{entry.path}" == each.place), None)
    label = (
        OF_LINES.get(each.place, "") if entry is None else entry.label if isinstance(entry, FormEntry) else entry.title
    )
    return _step(each, reader.texts.t(label) if label else each.place)


def _step(each: Difference, label: str) -> ChangedFigure:
    return ChangedFigure(label, _plain(each.before), _plain(each.after))


def _plain(value: Any) -> str:  # noqa: ANN401
    if isinstance(value, dict):
        text = ", ".join(f"{name}: {_plain(inner)}" for name, inner in value.items())
    elif isinstance(value, (list, tuple)):
        text = "; ".join(_plain(inner) for inner in value)
    else:
        text = "–" if value is None else f"{value:g}" if isinstance(value, float) else str(value)
    return text if len(text) <= 200 else text[:200] + " …"


def _amount(value: object) -> Decimal | None:
    try:
        return Decimal(str(value))
    except InvalidOperation:
        return None
