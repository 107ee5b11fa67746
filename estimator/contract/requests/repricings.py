"""Which open quotes to hold against which edition, and of which to make drafts."""

from __future__ import annotations

from marshmallow import RAISE, Schema

from estimator.contract.requests.fields import Day, Many, OneOf, Text, Word
from estimator.contract.requests.queries import ID_PATTERN

UUID = "0193a5c2-7b1e-7c3d-9f00-1a2b3c4d5e6f"


class RepricingRequestSchema(Schema):
    """Open quotes against another edition."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    pricebook = Text(80, shortest=1, required=True, about="Id of the pricebook.", example="hanse-eu")
    edition = Text(80, shortest=1, required=True, about="The edition to hold them against.", example="2027-01")
    priced_on = Day(
        allow_none=True, load_default=None, about="The day whose prices hold; null is today.", example="2027-01-10"
    )
    states = Many(
        OneOf("draft", "issued"),
        2,
        load_default=("draft", "issued"),
        about="States of the quotes that are meant, where none are named.",
        example=["issued"],
    )
    quotes = Many(
        Word(ID_PATTERN, "a quote's id", longest=36),
        5_000,
        load_default=(),
        about="Ids of the quotes that are meant; without any, all that are open and valid.",
        example=[UUID],
    )


class ApplyRepricingSchema(Schema):
    """Of which quotes drafts are made."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    quotes = Many(
        Word(ID_PATTERN, "a quote's id", longest=36),
        5_000,
        least=1,
        required=True,
        about="Ids of quotes of the re-pricing.",
        example=[UUID],
    )
