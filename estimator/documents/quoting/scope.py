"""The head of a quote and its scope in words: who, when, what is mounted, how, and on what."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from estimator.documents.header import Fact, QuoteHeader
from estimator.documents.language.addresses import address_lines
from estimator.documents.language.texts import Reader, mark
from estimator.documents.language.words import ARRANGEMENTS, DIRECTIONS, MATERIALS
from estimator.documents.quoting.supply import lead_time
from estimator.estimate import Estimate
from estimator.job import Address, Job, Roof
from estimator.mounting.records import Clearance
from estimator.pricebook import Seller, Tax
from estimator.units import side_by_side


def customer_lines(job: Job, reader: Reader) -> tuple[str, ...]:
    """The customer's address, person, mail, tax number, and what exempts from tax."""
    customer = job.customer
    tax = reader.texts.t("Tax number {number}", number=customer.tax_number) if customer.tax_number else ""
    named = (line for line in (customer.contact, customer.email, tax, customer.tax_exemption) if line)
    return (*address_lines(customer.address, reader), *named)


def seller_lines(seller: Seller, tax: Tax, reader: Reader) -> tuple[str, ...]:
    """The house's address, contact and tax number, this under the name that the book gives it."""
    address = Address(seller.address_lines, seller.postcode, seller.city, "", seller.country)
    number = reader.texts.t("Tax number {number}", number=seller.tax_number)
    if tax.number_name:
        number = f"{reader.say(tax.number_name)} {seller.tax_number}"
    told = number if seller.tax_number else ""
    return tuple(line for line in (*address_lines(address, reader), seller.phone, seller.email, told) if line)


def facts(estimate: Estimate, header: QuoteHeader, reader: Reader) -> tuple[Fact, ...]:
    """The facts beside the customer's address."""
    t, day, job = reader.texts.t, reader.formats.date, estimate.job
    site = ", ".join(address_lines(job.site.address, reader))
    pairs = (
        (t("Date"), day(header.dated)),
        (t("Valid until"), day(header.valid_until)),
        (t("Your reference"), job.reference),
        (t("Site"), site),
        (t("Needed on"), _day(job.site.needed_on, reader)),
        (t("Lead time"), lead_time(estimate, reader)),
        (t("Prepared by"), header.prepared_by),
    )
    return tuple(Fact(label, value) for label, value in pairs if value)


def _day(text: str, reader: Reader) -> str:
    """A date of the job (ISO 8601) as the reader writes it; any other text as it stands."""
    try:
        return reader.formats.date(date.fromisoformat(text))
    except ValueError:
        return text


def scope(estimate: Estimate, reader: Reader) -> tuple[Fact, ...]:
    """What is mounted, how, with which bracket and rail, on which roofs."""
    t = reader.texts.t
    rows = [Fact(t("Modules"), _modules(estimate, reader)), Fact(t("Mounting"), _mounting(estimate, reader))]
    rows.append(Fact(t("Bracket"), _bracket(estimate, reader)))
    if estimate.mounting.rail is not None:
        rows.append(Fact(t("Rail"), _rail(estimate, reader)))
    rows.append(Fact(t("Spacing"), _spacing(estimate, reader)))
    clearances = {clearance.roof: clearance for clearance in estimate.clearances}
    for roof in estimate.job.roofs:
        rows.append(Fact(t("Roof"), _roof(roof, clearances.get(roof.name), reader)))
    return tuple(rows)


def _modules(estimate: Estimate, reader: Reader) -> str:
    module, counts, formats = estimate.job.module, estimate.counts.counts, reader.formats
    size = " × ".join(formats.length(side) for side in (module.length_mm, module.width_mm, module.thickness_mm))
    return reader.texts.tn(
        "{number} module {name} ({size}), {power}",
        "{number} modules {name} ({size}), {power}",
        counts.modules,
        number=formats.count(counts.modules),
        name=module.name,
        size=size,
        power=formats.power(counts.power),
    )


def _mounting(estimate: Estimate, reader: Reader) -> str:
    t, mounting = reader.texts.t, estimate.mounting
    words = [t(ARRANGEMENTS[mounting.arrangement])]
    if mounting.rail is not None:
        words.append(t(DIRECTIONS[mounting.rail_direction]))
        if mounting.rail_direction == "across_ribs":
            words.append(t(mark("{count} rails a row"), count=mounting.rails_per_row))
    words.append(t(MATERIALS[mounting.material]))
    return _sentence(", ".join(words))


def _bracket(estimate: Estimate, reader: Reader) -> str:
    bracket, count = estimate.mounting.bracket, estimate.counts.counts.attachments
    return reader.texts.tn(
        "{name} ({part}); {number} attachment, each on a rib",
        "{name} ({part}); {number} attachments, each on a rib",
        count,
        name=reader.say(bracket.name),
        part=bracket.part,
        number=reader.formats.count(count),
    )


def _rail(estimate: Estimate, reader: Reader) -> str:
    rail, counts, formats = estimate.mounting.rail, estimate.counts.counts, reader.formats
    assert rail is not None
    length = sum(run.length_mm for run in estimate.setting_out.runs)
    text = reader.texts.t(
        "{name} ({rail}); {runs} runs, {length} in all, {splices} splices",
        name=reader.say(rail.name),
        rail=rail.rail,
        runs=formats.count(counts.runs),
        length=formats.long_length(length),
        splices=formats.count(counts.splices),
    )
    if counts.expansion_splices:
        more = formats.count(counts.expansion_splices)
        text += reader.texts.t(" and {count} expansion splices", count=more)
    return text


def _spacing(estimate: Estimate, reader: Reader) -> str:
    """The limits the attachments were placed by; without a rail there are no spans."""
    t, limits, length = reader.texts.t, estimate.setting_out.limits, reader.formats.length
    if estimate.mounting.rail is None:
        return t("two attachments at each module edge that crosses the ribs, more where the loads require them")
    return t(
        "spans up to {span} ({span_source}), overhangs up to {cantilever} ({cantilever_source})",
        span=length(limits.max_span_mm),
        span_source=reader.say(limits.span_source),
        cantilever=length(limits.max_cantilever_mm),
        cantilever_source=reader.say(limits.cantilever_source),
    )


def _roof(roof: Roof, clearance: Clearance | None, reader: Reader) -> str:
    t, formats = reader.texts.t, reader.formats
    text = t(
        "{name}: {width} × {height}, slope {slope}°; roofing: {material}, {thickness}; ribs {rib} high every {pitch}",
        name=roof.name,
        width=formats.long_length(roof.eave_length_mm),
        height=formats.long_length(roof.slope_length_mm),
        slope=formats.decimal(roof.slope_deg, 0 if roof.slope_deg == round(roof.slope_deg) else 1),
        material=t(MATERIALS[roof.sheet.material]),
        thickness=_thickness(roof.sheet.thickness_mm, reader),
        rib=formats.length(roof.ribs.height_mm),
        pitch=formats.length(roof.ribs.spacing_mm),
    )
    if clearance is not None:
        text += t("; {height} under the modules", height=formats.length(clearance.under_module_mm))
    return text


def _thickness(mm: float, reader: Reader) -> str:
    """Sheet is thin: hundredths of a millimetre, or thousandths of an inch."""
    formats = reader.formats
    places = {"metric": 2, "us": 3}
    return side_by_side([replace(formats, units=s).quantity(mm, "length", places[s]) for s in formats.systems])


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
