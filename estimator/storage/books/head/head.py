"""The head of an edition, ``book.toml``: who quotes, in which currency, by which rates, valid from when."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, Literal, cast

from babel.localedata import locale_identifiers
from babel.numbers import get_decimal_symbol

from estimator.errors import Fault, FilePlace, Refused
from estimator.job import RailDirection
from estimator.money import Rounding, minor_digits
from estimator.pricebook import NO_TERMS, POINTS, BookLocale, Defaults, QuoteTerms, Seller, SpareRule, Tax
from estimator.sentences import day, figure, say
from estimator.storage.books.files import HEAD, is_logo_name, read_toml
from estimator.storage.books.head.section import TomlSection
from estimator.storage.books.head.selling import quote_terms_of, tax_of
from estimator.storage.books.rows.cells import DEFAULT_UNITS, DIMENSIONS
from estimator.storage.books.rows.row import Reading
from estimator.units import units_of

_LOCALE = re.compile(r"[a-z]{2}-[A-Z]{2}")
_SECTIONS = frozenset(
    {
        "id", "edition", "title", "currency", "valid_from", "valid_until", "invented", "terms",
        "locale", "units", "price", "tiers", "tax", "labour", "spares", "defaults", "freight", "seller", "quote",
    }
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Head:
    """What ``book.toml`` says, before any table is read.

    ``Book`` has these fields again, between its own: it is stored field by field, in its own order.
    """

    id: str
    edition: str
    title: str
    currency: str
    valid_from: date
    valid_until: date
    invented: bool
    price_places: int
    rounding: Rounding
    pricing_method: Literal["margin", "markup"]
    pricing_rate: Decimal
    tiers: Mapping[str, Decimal]
    tax: Tax
    labour_rate: Decimal
    labour_cost_rate: Decimal
    spares: Mapping[str, SpareRule]
    defaults: Defaults
    seller: Seller
    terms: tuple[str, ...]
    packaging_share: float
    locale: BookLocale = POINTS
    quote_terms: QuoteTerms = NO_TERMS


def read_head(files: Mapping[str, bytes], reading: Reading) -> Head:
    """The head; its declared units and currency go to ``reading`` for the tables. Faults go there, too."""
    top = TomlSection("", _toml(files, reading), reading)
    top.only(_SECTIONS)
    _declared_units(top.section("units"), reading)
    reading.currency, reading.locale = _currency(top), _locale(top)
    valid_from, valid_until = top.date("valid_from"), top.date("valid_until")
    if valid_until < valid_from:
        period = {"valid_until": day(valid_until), "valid_from": day(valid_from)}
        found = say("{valid_until} lies before valid_from, {valid_from}", **period)
        top.fault("valid_until", found, say("a later date"))
    price, labour = top.section("price", {"places", "rounding", "method", "rate"}), top.section("labour")
    labour.only({"rate", "cost_rate"})
    return Head(
        id=top.name("id"),
        edition=top.name("edition"),
        title=top.text("title"),
        currency=reading.currency,
        valid_from=valid_from,
        valid_until=valid_until,
        invented=top.flag("invented"),
        price_places=price.whole("places", (0, 6)),
        rounding=cast(Rounding, price.one_of("rounding", ("half_up", "half_even"))),
        pricing_method=_method(price),
        pricing_rate=_rate(price),
        tiers=_tiers(top.section("tiers")),
        tax=tax_of(top.section("tax")),
        labour_rate=labour.decimal("rate"),
        labour_cost_rate=labour.decimal("cost_rate"),
        spares=_spares(top.section("spares")),
        defaults=_defaults(top.section("defaults")),
        seller=_seller(top.section("seller")),
        terms=top.texts("terms"),
        packaging_share=float(top.section("freight", {"packaging_share"}).share("packaging_share")),
        locale=reading.locale,
        quote_terms=quote_terms_of(top.section("quote")),
    )


def _toml(files: Mapping[str, bytes], reading: Reading) -> dict[str, Any]:
    if HEAD not in files:
        reading.faults.append(
            Fault(FilePlace(HEAD), say("the file is missing"), say("id, edition, currency, dates, rates"))
        )
        return {}
    try:
        return read_toml(files[HEAD], Decimal)
    except (UnicodeDecodeError, ValueError, RecursionError, ArithmeticError) as fault:
        reading.faults.append(
            Fault(FilePlace(HEAD), say("the file cannot be read: {fault}", fault=str(fault)), say("TOML in UTF-8"))
        )
        return {}


def _declared_units(section: TomlSection, reading: Reading) -> None:
    section.only(DEFAULT_UNITS)
    declared: dict[str, str] = {}
    for kind, dimension in DIMENSIONS.items():
        if kind in section.values:
            declared[kind] = section.one_of(kind, units_of(dimension))
    reading.units = declared


def _currency(top: TomlSection) -> str:
    code = top.text("currency")
    try:
        if code:
            minor_digits(code)
    except Refused as fault:
        top.fault("currency", fault.told, say("a code such as USD or EUR"))
    return code


def is_locale(code: str) -> bool:
    """Whether a language and country are known to CLDR.

    >>> is_locale("de-DE"), is_locale("German")
    (True, False)
    """
    return bool(_LOCALE.fullmatch(code)) and code.replace("-", "_") in locale_identifiers()


def _locale(top: TomlSection) -> BookLocale:
    """The locale, with the decimal sign that CLDR (in Babel) gives it; without one, decimal points."""
    code = top.text("locale", "")
    if not code:
        return BookLocale()
    if not is_locale(code):
        top.fault(
            "locale",
            say("{code} is no locale that is known", code=repr(code)),
            say("language and country, such as de-DE, fr-FR, en-US"),
        )
        return BookLocale()
    return BookLocale(code, "," if get_decimal_symbol(code.replace("-", "_")) == "," else ".")


def _method(price: TomlSection) -> Literal["margin", "markup"]:
    return cast(Literal["margin", "markup"], price.one_of("method", ("margin", "markup")))


def _rate(price: TomlSection) -> Decimal:
    rate = price.decimal("rate")
    if price.values.get("method") == "margin" and rate >= 1:
        price.fault(
            "rate",
            say("a margin of {rate} has no price: it is a share of the price", rate=figure(rate)),
            say("below 1"),
        )
    return rate


def _tiers(section: TomlSection) -> Mapping[str, Decimal]:
    return {name: section.share(name) for name in section.values}


def _spares(section: TomlSection) -> Mapping[str, SpareRule]:
    return {role: _spare(section.section(role, {"rate", "loss_rate", "confidence"})) for role in section.values}


def _spare(section: TomlSection) -> SpareRule:
    if "rate" in section.values:
        if len(section.values) > 1:
            section.fault("rate", say("a rate stands beside a loss rate"), say("rate, or loss_rate and confidence"))
        return SpareRule(rate=section.share("rate"))
    loss, confidence = section.share("loss_rate"), section.share("confidence")
    if loss >= 1 or not 0 < confidence < 1:
        section.fault(
            "confidence", say("no spare count follows from these"), say("loss_rate below 1, confidence between 0 and 1")
        )
    return SpareRule(loss_rate=loss, confidence=confidence)


def _defaults(section: TomlSection) -> Defaults:
    section.only(
        {
            "clamping_position", "rail_overhang", "rail_direction", "air_gap_min", "air_gap_max", "validity_days",
            "freight_zone", "contingency", "order_factor_max",
        }
    )  # fmt: skip
    window = (section.length("air_gap_min", 80.0), section.length("air_gap_max", 150.0))
    if window[1] < window[0]:
        section.fault("air_gap_max", say("the air gap's window is reversed"), say("not below air_gap_min"))
    position = float(section.share("clamping_position", Decimal("0.22")))
    if not 0 <= position < 0.5:
        section.fault(
            "clamping_position",
            say("{position} is not in the outer half of a side", position=figure(position)),
            say("0 to below 0.5"),
        )
    direction = section.one_of("rail_direction", ("across_ribs", "along_ribs"), "across_ribs")
    return Defaults(
        clamping_position=position,
        rail_overhang_mm=section.length("rail_overhang", 50.0),
        rail_direction=cast(RailDirection, direction),
        air_gap_window_mm=window,
        validity_days=section.whole("validity_days", (1, 366), 30),
        freight_zone=section.text("freight_zone"),
        contingency=section.share("contingency", Decimal(0)),
        order_factor_max=_order_factor(section),
    )


def _order_factor(section: TomlSection) -> Decimal:
    factor = section.decimal("order_factor_max", Decimal(3))
    if factor < 1:
        section.fault(
            "order_factor_max", say("{factor} would bar what is required", factor=figure(factor)), say("1 or more")
        )
    return factor


def _seller(section: TomlSection) -> Seller:
    section.only({"name", "address_lines", "postcode", "city", "country", "email", "phone", "tax_number", "logo"})
    section.reading.logo = _logo(section)
    return Seller(
        name=section.text("name"),
        address_lines=section.texts("address_lines"),
        postcode=section.text("postcode", ""),
        city=section.text("city", ""),
        country=section.country("country"),
        email=section.text("email", ""),
        phone=section.text("phone", ""),
        tax_number=section.text("tax_number", ""),
    )


def _logo(section: TomlSection) -> str:
    """The name of the logo's file; it lies beside the head."""
    name = section.text("logo", "")
    if name and not is_logo_name(name):
        section.fault(
            "logo",
            say("{name} is no name of a logo's file", name=repr(name[:80])),
            say("a file beside it, such as logo.png"),
        )
        return ""
    return name
