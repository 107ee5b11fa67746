"""Building blocks of UBL 2.1 documents (ISO/IEC 19845): names, amounts, parties, addresses.

Code lists are checked here, because the schema does not: UN/ECE Rec 20 units, ISO 4217 currencies, ISO 3166 countries.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import cast

from babel import Locale
from lxml import etree

from estimator.errors import Fault, Refused
from estimator.job import Address
from estimator.money import Money, minor_digits
from estimator.sentences import say

CAC = "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2"
CBC = "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2"
# Units of UN/ECE Recommendation 20 that a takeoff of parts can need.
UNITS = frozenset({"C62", "EA", "H87", "MTR", "FOT", "INH", "MTK", "KGM", "LBR", "TNE", "SET", "PR", "NMP", "HUR", "LS",
                   "XPK", "XBX", "XCT", "XBE", "XPX", "XRL", "XBG"})  # fmt: skip
COUNTRIES = frozenset(code for code in map(str, Locale("en").territories) if len(code) == 2 and code.isalpha())
NOT_COUNTRIES = frozenset({"EU", "EZ", "UN", "QO", "ZZ", "XA", "XB", "XK"})

Element = etree._Element


def root(name: str) -> Element:
    """An empty UBL 2.1 document."""
    space = f"urn:oasis:names:specification:ubl:schema:xsd:{name}-2"
    document = etree.Element(f"{{{space}}}{name}", nsmap=cast("dict[str, str]", {None: space, "cac": CAC, "cbc": CBC}))
    basic(document, "UBLVersionID", "2.1")
    return document


def aggregate(parent: Element, name: str) -> Element:
    """A child that holds others."""
    return etree.SubElement(parent, f"{{{CAC}}}{name}")


def basic(parent: Element, name: str, text: object, **attributes: str) -> None:
    """A child that holds a text; an empty text leaves it out, since UBL forbids empty elements."""
    value = printable(str(text))
    if value:
        etree.SubElement(parent, f"{{{CBC}}}{name}", attributes).text = value


def printable(text: str) -> str:
    """The text without characters that XML 1.0 forbids."""
    return "".join(ch if ch in "\t\n\r" or (ch >= " " and ch not in "\ufffe\uffff") else " " for ch in text).strip()


def amount(parent: Element, name: str, money: Money) -> None:
    """An amount with its currency, at the minor unit."""
    basic(parent, name, f"{money.rounded().amount:f}", currencyID=money.currency)


def price_amount(parent: Element, name: str, value: Decimal, currency: str) -> None:
    """A unit price, at whatever places it has (no fewer than the minor unit)."""
    least = minor_digits(currency)
    places = max(least, -int(value.normalize().as_tuple().exponent))
    basic(parent, name, f"{value:.{places}f}", currencyID=currency)


def quantity(parent: Element, name: str, number: int, unit: str) -> None:
    """A count with its Rec 20 unit code."""
    basic(parent, name, number, unitCode=unit)


@dataclass(frozen=True, slots=True)
class UblParty:
    """Somebody on an electronic document; the tax number stands under its scheme."""

    name: str
    address: Address
    mail: str = ""
    tax_number: str = ""
    scheme: str = "VAT"


def party(parent: Element, who: UblParty) -> None:
    """A party: name, structured address, tax number with its scheme, and an electronic mail address."""
    element = aggregate(parent, "Party")
    basic(aggregate(element, "PartyName"), "Name", who.name)
    address(element, "PostalAddress", who.address)
    if who.tax_number:
        taxed = aggregate(element, "PartyTaxScheme")
        basic(taxed, "CompanyID", who.tax_number)
        basic(aggregate(taxed, "TaxScheme"), "ID", who.scheme)
    basic(aggregate(element, "PartyLegalEntity"), "RegistrationName", who.name)
    if who.mail:
        basic(aggregate(element, "Contact"), "ElectronicMail", who.mail)


def address(parent: Element, name: str, place: Address) -> None:
    """An address in its parts; lines beyond two stand as lines."""
    element = aggregate(parent, name)
    for tag, line in zip(("StreetName", "AdditionalStreetName"), place.lines, strict=False):
        basic(element, tag, line)
    basic(element, "CityName", place.city)
    basic(element, "PostalZone", place.postcode)
    basic(element, "CountrySubentity", place.region)
    for line in place.lines[2:]:
        basic(aggregate(element, "AddressLine"), "Line", line)
    if place.country:
        basic(aggregate(element, "Country"), "IdentificationCode", place.country)


def tax_category(parent: Element, name: str, of: tuple[str, Decimal], scheme: str, reason: str = "") -> None:
    """A tax category with its rate in per cent, why it is exempt, and its scheme. Source: EN 16931-1, BG-23."""
    category, rate = of
    element = aggregate(parent, name)
    basic(element, "ID", category)
    if category != "O":
        basic(element, "Percent", f"{rate * 100:f}")
    basic(element, "TaxExemptionReason", reason)
    basic(aggregate(element, "TaxScheme"), "ID", scheme or "VAT")


def check_codes(units: Sequence[tuple[str, str]], countries: Sequence[tuple[str, str]], currency: str) -> None:
    """Refuse unit and country codes the lists do not hold; (place, code) pairs. The currency is checked by ISO 4217."""
    minor_digits(currency)
    known = ", ".join(sorted(UNITS))
    faults = [Fault(at, say("{code} is no unit of UN/ECE Rec 20 in use here", code=repr(code)), known)
              for at, code in units if code not in UNITS]  # fmt: skip
    faults += [Fault(at, say("{code} is no country of ISO 3166-1", code=repr(code)), say("two letters"))
               for at, code in countries if code and (code not in COUNTRIES or code in NOT_COUNTRIES)]  # fmt: skip
    if faults:
        raise Refused(say("the electronic document would hold unknown codes"), faults)


def to_bytes(document: Element) -> bytes:
    """The document as UTF-8, the same content always the same bytes."""
    text: bytes = etree.tostring(document, xml_declaration=True, encoding="UTF-8", pretty_print=True)
    return text
