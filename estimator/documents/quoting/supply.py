"""What a quote says of supply, payment, taxes and prices for comparison."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal

from estimator.documents.language.texts import Reader
from estimator.documents.language.words import group_name
from estimator.documents.quoting.total_rows import TotalRow
from estimator.estimate import Estimate
from estimator.pricebook import lead_time_of
from estimator.pricing.taxation import TaxGroup, tax_groups

WATT_PLACES = Decimal("0.0001")


def supplied(estimate: Estimate, reader: Reader) -> str:
    """What is supplied and what is not, as the book says, else as the lines show it."""
    t, terms = reader.texts.t, estimate.book.quote_terms
    ours = terms.supplied or tuple(_supplied(estimate, reader))
    theirs = terms.not_supplied or tuple(_not_supplied(estimate, reader))
    told = ", ".join(map(reader.say, ours))
    others = ", ".join(map(reader.say, theirs))
    return t("Supplied: {supplied}. Not supplied: {others}.", supplied=told, others=others)


def _supplied(estimate: Estimate, reader: Reader) -> Iterator[str]:
    t, totals = reader.texts.t, estimate.bill.totals
    for group in dict.fromkeys(line.group for line in estimate.bill.lines):
        name = group_name(group, reader)
        yield name[:1].lower() + name[1:] if not reader.texts.locale.startswith("de") else name
    if totals.labour.amount:
        yield t("labour")
    if totals.freight.amount:
        yield t("freight to the site")


def _not_supplied(estimate: Estimate, reader: Reader) -> Iterator[str]:
    t, totals = reader.texts.t, estimate.bill.totals
    yield t("modules, inverters and their wiring")
    if not totals.labour.amount:
        yield t("labour")
    if not totals.freight.amount:
        yield t("freight to the site")


def lead_time(estimate: Estimate, reader: Reader) -> str:
    """How long it takes: the longest of what is ordered, in calendar days from the order."""
    ordered = {line.line.part for line in estimate.bill.lines}
    days = max((lead_time_of(estimate.book, part) for part in ordered if part in estimate.book.parts), default=0)
    return reader.texts.tn("{count} day from the order", "{count} days from the order", days) if days else ""


def terms_of_sale(estimate: Estimate, reader: Reader) -> tuple[str, ...]:
    """What is supplied, how it is paid, the notes of taxes that are not charged, and who decides on them."""
    t, terms = reader.texts.t, estimate.book.quote_terms
    payment = (t("Payment: {terms}", terms=reader.say(terms.payment)),) if terms.payment else ()
    notes = tuple(reader.say(rule.note) for rule in estimate.book.tax.relieved)
    adviser = (t("Taxes follow the pricebook's rules; a tax adviser decides."),) if notes else ()
    return (supplied(estimate, reader), *payment, *notes, *adviser)


def tax_rows(estimate: Estimate, reader: Reader) -> Iterator[TotalRow]:
    """Each tax with the base that it is on; amounts that carry none of it by a rule are listed, too."""
    relieved = {rule.note for rule in estimate.book.tax.relieved}
    for group in tax_groups(estimate.bill, estimate.book):
        if group.category != "E" or group.note in relieved:
            yield TotalRow(_tax_label(group, estimate, reader), group.tax)


def _tax_label(group: TaxGroup, estimate: Estimate, reader: Reader) -> str:
    name = reader.say(estimate.bill.totals.tax_name)
    base, rate = reader.formats.amount(group.base), reader.formats.percent(group.rate)
    return reader.texts.t("{tax} {rate} on {base}", tax=name, rate=rate, base=base)


def compared_prices(estimate: Estimate, reader: Reader) -> Iterator[TotalRow]:
    """The total before tax for one watt and for one module, where the book wants them."""
    t, terms, counts = reader.texts.t, estimate.book.quote_terms, estimate.counts.counts
    before, currency = estimate.bill.totals.before_tax, estimate.bill.currency
    if terms.per_watt and counts.power:
        price = (before.amount / Decimal(repr(counts.power))).quantize(WATT_PLACES, ROUND_HALF_UP)
        yield TotalRow(t("for each watt, before tax"), before, text=f"{reader.formats.decimal(price, 4)} {currency}/W")
    if terms.per_module and counts.modules:
        price = (before.amount / counts.modules).quantize(Decimal("0.01"), ROUND_HALF_UP)
        yield TotalRow(t("for each module, before tax"), before, text=f"{reader.formats.decimal(price, 2)} {currency}")
