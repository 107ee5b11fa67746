"""The options of a quote side by side, as a customer compares them."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.comparison.records import FIRST, Offer, QuotedOption
from estimator.documents.header import Fact
from estimator.documents.language.texts import Reader
from estimator.documents.language.words import ARRANGEMENTS, MATERIALS
from estimator.documents.quoting.supply import compared_prices, lead_time


@dataclass(frozen=True, slots=True)
class Way:
    """One option: its letter and title, what it is, and its steps to the total; the facts of all stand in one order."""

    letter: str
    title: str
    facts: tuple[Fact, ...]


def ways_of(offer: Offer, reader: Reader) -> tuple[Way, ...]:
    """Every option with the same facts; none where there is only one way."""
    if not offer.options:
        return ()
    every = (QuotedOption(FIRST, "", offer.estimate), *offer.options)
    return tuple(Way(each.letter, each.title, tuple(_facts(each, reader))) for each in every)


def _facts(option: QuotedOption, reader: Reader) -> list[Fact]:
    t, formats, estimate = reader.texts.t, reader.formats, option.estimate
    mounting, totals = estimate.mounting, estimate.bill.totals
    words = f"{t(ARRANGEMENTS[mounting.arrangement])}, {t(MATERIALS[mounting.material])}"
    facts = [
        Fact(t("Mounting"), words[:1].upper() + words[1:]),
        Fact(t("Bracket"), mounting.bracket.part),
        Fact(t("Rail"), mounting.rail.rail if mounting.rail else "\N{EN DASH}"),
        Fact(t("Attachments"), formats.count(estimate.counts.counts.attachments)),
        Fact(t("Shipped mass"), formats.mass(estimate.freight.mass_kg)),
        Fact(t("Lead time"), lead_time(estimate, reader)),
        Fact(t("Parts"), formats.amount(totals.parts - totals.discount)),
        Fact(t("Freight"), formats.amount(totals.freight)),
        Fact(t("Labour"), formats.amount(totals.labour)),
        Fact(t("Contingency"), formats.amount(totals.contingency)),
        Fact(t("Total before tax"), formats.amount(totals.before_tax)),
        Fact(t("Total"), formats.money(totals.total)),
    ]
    return [*facts, *(Fact(row.label, row.text) for row in compared_prices(estimate, reader))]
