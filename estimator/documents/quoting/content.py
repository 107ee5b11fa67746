"""What a quote says, before anybody decides how: the customer's content as plain records.

No cost, no margin, ever: these records have no place for them. Texts are in the reader's language, user text is raw
(each writer escapes it), amounts are those of the offer; a section's subtotal is the sum of the lines it shows.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from itertools import groupby

from estimator.comparison.records import Comparison, Offer, Side
from estimator.documents.header import Fact, QuoteHeader, QuoteState
from estimator.documents.language.texts import Reader, mark, reader_for
from estimator.documents.language.words import INVENTED, group_name, option_name, unit_name
from estimator.documents.quoting import scope, supply
from estimator.documents.quoting.checks import CheckRow, checks_of_options
from estimator.documents.quoting.total_rows import TotalRow
from estimator.documents.quoting.ways import Way, ways_of
from estimator.estimate import Estimate
from estimator.money import Money, total
from estimator.pricing.records import PricedLine


@dataclass(frozen=True, slots=True)
class ContentLine:
    """One priced line as the customer sees it."""

    part: str
    description: str
    quantity: int
    unit: str
    unit_price: Decimal
    discount: Decimal
    price: Money


@dataclass(frozen=True, slots=True)
class Section:
    """The lines of one group, and their sum."""

    title: str
    lines: tuple[ContentLine, ...]
    subtotal: Money


@dataclass(frozen=True, slots=True)
class OptionRow:
    """The job another way. ``quoted`` marks the way this quote prices; ``problems`` keep a way from being built."""

    name: str
    parts: str
    attachments: int
    shipped_mass_kg: float
    freight: Money
    total: Money
    quoted: bool
    problems: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Party:
    """A name and the lines below it."""

    name: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class QuoteContent:
    """Everything on the customer's quote but the drawing."""

    number: str
    revision: int
    state: QuoteState
    state_note: str
    dated: date
    valid_until: date
    title: str
    currency: str
    seller: Party
    customer: Party
    facts: tuple[Fact, ...]
    scope: tuple[Fact, ...]
    notes: tuple[str, ...]
    sections: tuple[Section, ...]
    totals: tuple[TotalRow, ...]
    options: tuple[OptionRow, ...]
    options_notes: tuple[str, ...]
    ways: tuple[Way, ...]
    alternates: tuple[ContentLine, ...]
    checks: tuple[CheckRow, ...]
    terms: tuple[str, ...]
    cautions: tuple[str, ...]
    invented_note: str
    provenance: str


STATE_NOTES: dict[QuoteState, str] = {
    "draft": mark("Draft: not an offer yet. Prices and checks may still change."),
    "issued": "",
    "accepted": mark("Accepted."),
    "declined": mark("Declined."),
    "expired": mark("Expired: the prices no longer hold."),
    "superseded": mark("Superseded: a later revision has taken its place."),
}


def quote_reader(offer: Offer, header: QuoteHeader) -> Reader:
    """Who reads the quote: the customer, in the language of the head and the units of the job."""
    job = offer.estimate.job
    return reader_for(header.language, job.customer.address.country, job.display_units, offer.estimate.book.texts)


def quote_content(offer: Offer, header: QuoteHeader) -> QuoteContent:
    """The content of a quote for the customer."""
    reader, estimate = quote_reader(offer, header), offer.estimate
    t, job, seller = reader.texts.t, estimate.job, estimate.seller
    options, why_not = _options(offer, reader) if not offer.options else ((), ())
    return QuoteContent(
        number=header.number,
        revision=header.revision,
        state=header.state,
        state_note=t(STATE_NOTES[header.state]),
        dated=header.dated,
        valid_until=header.valid_until,
        title=job.title,
        currency=estimate.bill.currency,
        seller=Party(seller.name, scope.seller_lines(seller, estimate.book.tax, reader)),
        customer=Party(job.customer.name, scope.customer_lines(job, reader)),
        facts=scope.facts(estimate, header, reader),
        scope=scope.scope(estimate, reader),
        notes=tuple(line for line in estimate.choices.notes.splitlines() if line.strip()),
        sections=_sections(estimate, reader),
        totals=_totals(estimate, reader),
        options=options,
        options_notes=why_not,
        ways=ways_of(offer, reader),
        alternates=tuple(_alternate(line, estimate, reader) for line in estimate.bill.alternates),
        checks=checks_of_options(offer, reader),
        terms=(*supply.terms_of_sale(estimate, reader), *(reader.say(term) for term in estimate.terms)),
        cautions=tuple(t(caution) for caution in estimate.cautions),
        invented_note=t(INVENTED) if estimate.invented else "",
        provenance=_provenance(estimate, reader),
    )


def _sections(estimate: Estimate, reader: Reader) -> tuple[Section, ...]:
    """Lines by group, groups in the order they first appear."""
    order = list(dict.fromkeys(line.group for line in estimate.bill.lines))
    lines = sorted(estimate.bill.lines, key=lambda line: order.index(line.group))
    sections = []
    for group, members in groupby(lines, key=lambda line: line.group):
        shown = tuple(_line(line, reader) for line in members)
        subtotal = total((line.price for line in shown), estimate.bill.currency)
        sections.append(Section(group_name(group, reader), shown, subtotal))
    return tuple(sections)


def _line(priced: PricedLine, reader: Reader) -> ContentLine:
    line = priced.line
    return ContentLine(
        part=line.part,
        description=reader.say(line.description),
        quantity=line.ordered,
        unit=unit_name(line.unit, reader),
        unit_price=priced.unit_price,
        discount=priced.discount,
        price=priced.price,
    )


def _alternate(priced: PricedLine, estimate: Estimate, reader: Reader) -> ContentLine:
    """Something that may be added, with what it is for."""
    notes = {each.part: each.note for each in estimate.choices.alternates}
    line, note = _line(priced, reader), notes.get(priced.line.part, "")
    return replace(line, description=f"{line.description}: {note}") if note else line


def _totals(estimate: Estimate, reader: Reader) -> tuple[TotalRow, ...]:
    """The steps in the order of the totals; steps of nothing are left out."""
    t, percent, totals = reader.texts.t, reader.formats.percent, estimate.bill.totals
    steps = [
        TotalRow(t("Discount {rate}", rate=percent(totals.discount_rate)), -totals.discount),
        TotalRow(t("Freight"), totals.freight),
        TotalRow(t("Labour"), totals.labour),
        TotalRow(t("Contingency {rate}", rate=percent(totals.contingency_rate)), totals.contingency),
    ]
    return (
        TotalRow(t("Parts"), totals.parts),
        *(step for step in steps if step.amount.amount),
        TotalRow(t("Total before tax"), totals.before_tax, interim=True),
        *supply.tax_rows(estimate, reader),
        TotalRow(t("Total"), totals.total, final=True),
        *supply.compared_prices(estimate, reader),
    )


def _options(offer: Offer, reader: Reader) -> tuple[tuple[OptionRow, ...], tuple[str, ...]]:
    """The quoted way, the other material, and other ways, side by side; empty where there is nothing to compare."""
    comparison, mounting = offer.comparison, offer.estimate.mounting
    rows = []
    for side in (comparison.aluminium, comparison.steel, *comparison.others):
        if side is not None:
            quoted = side.subject == "material" and side.option == mounting.material
            rows.append(_option(side, quoted, reader))
    rows.sort(key=lambda row: not row.quoted)
    why_not = tuple(reader.say(why) for why in (*filter(None, (comparison.basis,)), *comparison.why_not))
    notes = (*_savings(comparison, reader), *why_not)
    return (tuple(rows), notes) if len(rows) > 1 else ((), why_not)


def _option(side: Side, quoted: bool, reader: Reader) -> OptionRow:
    return OptionRow(
        name=option_name(side.subject, side.option, reader),
        parts=", ".join(part for part in (side.bracket, side.rail) if part),
        attachments=side.attachments,
        shipped_mass_kg=side.shipped_mass_kg,
        freight=side.freight,
        total=side.total,
        quoted=quoted,
        problems=tuple(reader.say(error) for error in side.errors),
    )


def _savings(comparison: Comparison, reader: Reader) -> tuple[str, ...]:
    """What aluminium saves over steel, or costs more, in a sentence; masses as shipped, as the options show them."""
    t, formats = reader.texts.t, reader.formats
    aluminium, steel, money = comparison.aluminium, comparison.steel, comparison.saving_total
    if aluminium is None or steel is None or money is None or not steel.shipped_mass_kg:
        return ()
    mass = steel.shipped_mass_kg - aluminium.shipped_mass_kg
    percent = formats.percent(Decimal(str(round(abs(mass) / steel.shipped_mass_kg, 2))))
    weight = (
        t("Aluminium ships {mass} ({share}) lighter than steel", mass=formats.mass(abs(mass)), share=percent)
        if mass >= 0
        else t("Aluminium ships {mass} ({share}) heavier than steel", mass=formats.mass(abs(mass)), share=percent)
    )
    if money.amount == 0:
        return (t("{weight} and costs the same.", weight=weight),)
    if money.amount > 0:
        return (t("{weight} and costs {money} less.", weight=weight, money=formats.money(money)),)
    return (t("{weight} and costs {money} more.", weight=weight, money=formats.money(-money)),)


def _provenance(estimate: Estimate, reader: Reader) -> str:
    stands = estimate.provenance
    return reader.texts.t(
        "Pricebook {book} {edition} ({sha}), engine {engine}, input {input}, priced {day}",
        book=stands.pricebook,
        edition=stands.edition,
        sha=stands.sha256[:8],
        engine=stands.engine,
        input=stands.input_sha256[:8],
        day=stands.priced_on.isoformat(),
    )
