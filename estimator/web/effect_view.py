"""What a change would do to a quote, or what differs between two revisions: totals, lines, counts, inputs, checks."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation

from estimator.comparison.records import Offer
from estimator.documents.language.texts import Reader, mark
from estimator.documents.language.words import check_where
from estimator.money import Money
from estimator.service.quoting.differences import Difference, Differences, differences
from estimator.service.quoting.quotes import PricingRequest
from estimator.service.quoting.stored.quotes import WholeQuote
from estimator.web.asked_view import Asked
from estimator.web.labels import COUNT_WORDS

TOTALS = {
    "parts": mark("Parts"), "discount": mark("Discount"), "freight": mark("Freight"), "labour": mark("Labour"),
    "contingency": mark("Contingency"), "before_tax": mark("Total before tax"), "tax": mark("Tax"),
    "total": mark("Total"), "cost": mark("Cost"), "margin": mark("Margin"), "margin_rate": mark("Margin rate"),
}  # fmt: skip
OF_EDITION = {"pricebook": mark("Pricebook"), "edition": mark("Edition")}


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
    both = (before.card, after.card)
    asked = Asked([card.job_document for card in both], [card.choices for card in both], reader)
    return EffectView(
        totals=tuple(_total(each, currency, reader) for each in found.totals),
        lines=_lines(found, currency, reader),
        counts=tuple(
            _step(each, reader.texts.t(COUNT_WORDS.get(_name(each), _words(each))), reader) for each in found.counts
        ),
        inputs=tuple(
            ChangedFigure(
                asked.label(each.place), asked.told(each.place, each.before), asked.told(each.place, each.after)
            )
            for each in (*found.inputs, *found.choices)
        ),
        edition=tuple(
            _step(each, reader.texts.t(OF_EDITION[_name(each)]), reader)
            for each in found.edition
            if _name(each) in OF_EDITION
        ),
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


def _step(each: Difference, label: str, reader: Reader) -> ChangedFigure:
    return ChangedFigure(label, *(_written(_name(each), value, reader) for value in (each.before, each.after)))


def _written(name: str, value: object, reader: Reader) -> str:
    """A count, or a length or power of the counts; what is no number as it is."""
    formats = reader.formats
    if isinstance(value, int):
        return formats.count(value)
    if isinstance(value, float):
        return formats.power(value) if name == "power" else formats.long_length(value)
    return "–" if value is None else str(value)


def _amount(value: object) -> Decimal | None:
    try:
        return Decimal(str(value))
    except InvalidOperation:
        return None
