"""Who asked, and where the work is."""

from __future__ import annotations

from typing import Any

from babel import Locale
from marshmallow import ValidationError, post_load, validates_schema

from estimator import job as records
from estimator.contract.requests.fields import Day, Inner, Many, Text, Word
from estimator.contract.requests.posted_job.loads import LoadsSchema
from estimator.contract.requests.record import RecordSchema
from estimator.sentences import say

COUNTRIES = frozenset(
    str(code)
    for code in Locale("en").territories
    if len(str(code)) == 2 and str(code).isalpha() and code not in {"EU", "UN", "ZZ"}
)


class AddressSchema(RecordSchema):
    """Where somebody is."""

    record = records.Address
    lines = Many(
        Text(200),
        8,
        about="Street, house, whatever stands above the town, one text for each line.",
        example=["Quay road 7"],
    )
    postcode = Text(20, about="Postcode.", example="20457")
    city = Text(120, about="Town.", example="Hamburg")
    region = Text(120, about="State, province or county.", example="HH")
    country = Word(
        "[A-Z]{2}|",
        "a country code of ISO 3166-1, such as US",
        longest=2,
        about="Country code of ISO 3166-1; it decides which pricebook fits, the paper size and the order of units.",
        example="DE",
    )

    @validates_schema
    def known_country(self, loaded: dict[str, Any], **_: object) -> None:
        """The code is one of ISO 3166-1."""
        if loaded.get("country") and loaded["country"] not in COUNTRIES:
            raise ValidationError(
                say("{code} is no country code of ISO 3166-1", code=repr(loaded["country"])), "country"
            )


class CustomerSchema(RecordSchema):
    """Who asked."""

    record = records.Customer
    name = Text(200, required=True, about="Who asks for the quote.", example="Hill farm")
    contact = Text(200, about="Whom to address.", example="A. Miller")
    email = Text(254, about="Where to write to.", example="office@example.com")
    address = Inner(AddressSchema, about="The customer's address.")
    tier = Text(
        80,
        about="A discount tier of the pricebook, as its edition lists them; without one, no tier's discount.",
        example="trade",
    )
    tax_number = Text(
        40,
        about="The customer's number for value added or sales tax; in the EU with its country, which decides with the "
        "place of delivery whether tax is charged.",
        example="FR83404833048",
    )
    tax_exemption = Text(
        200,
        about="What exempts the customer from tax, such as the number of a certificate; the pricebook's rules decide.",
        example="exemption certificate 12-3456",
    )


class SiteSchema(RecordSchema):
    """Where the work is."""

    record = records.Site
    address = Inner(AddressSchema, about="Where the roofs are; without a country, the customer's counts.")
    needed_on = Day(allow_none=True, about="The day on which the material is needed on site.", example="2027-03-15")
    freight_zone = Text(
        80,
        about="A zone of the pricebook's freight table, as its edition lists them; without one, the book's default.",
        example="2",
    )
    asked_loads = Inner(
        LoadsSchema, data_key="loads", attribute="loads", about="Wind, snow and how they are to be calculated."
    )

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> records.Site:
        """The record; the date stays the text it was."""
        day = loaded.pop("needed_on", None)
        return records.Site(**loaded, needed_on=day.isoformat() if day else "")
