"""What a book's head says of taxes and of quotes: the sections ``[tax]`` and ``[quote]``."""

from __future__ import annotations

from typing import cast, get_args

from estimator.pricebook.quote_terms import QuoteTerms
from estimator.pricebook.tax import CASES, CATEGORIES, Tax, TaxCase, Taxed, TaxRule
from estimator.sentences import say
from estimator.storage.books.head.section import TomlSection

TAXED: tuple[str, ...] = get_args(Taxed)


def tax_of(section: TomlSection) -> Tax:
    """The tax and its rules."""
    section.only({"name", "rate", "on", "per", "number_name", "category", "rules"})
    rate = section.share("rate")
    return Tax(
        name=section.text("name"),
        rate=rate,
        on=_taxed(section),
        per=section.one_of("per", ("total", "line")),  # type: ignore[arg-type]
        number_name=section.text("number_name", ""),
        category=section.one_of("category", CATEGORIES, "S"),
        rules=tuple(_rule(each) for each in section.sections("rules")),
    )


def _rule(section: TomlSection) -> TaxRule:
    section.only({"case", "on", "category", "note", "source"})
    return TaxRule(
        case=cast(TaxCase, section.one_of("case", CASES)),
        on=_taxed(section),
        category=section.one_of("category", CATEGORIES),
        note=section.text("note"),
        source=section.text("source", ""),
    )


def _taxed(section: TomlSection) -> frozenset[Taxed]:
    entries = section.texts("on")
    for entry in entries:
        if entry not in TAXED:
            section.fault("on", say("{entry} is not known here", entry=repr(entry)), ", ".join(TAXED))
    return frozenset(cast(Taxed, entry) for entry in entries)


def quote_terms_of(section: TomlSection) -> QuoteTerms:
    """What stands on a quote besides prices; an empty section is none."""
    section.only({"payment_terms", "supplied", "not_supplied", "per_watt", "per_module"})
    return QuoteTerms(
        payment=section.text("payment_terms", ""),
        supplied=section.texts("supplied") if "supplied" in section.values else (),
        not_supplied=section.texts("not_supplied") if "not_supplied" in section.values else (),
        per_watt=section.flag("per_watt"),
        per_module=section.flag("per_module"),
    )
