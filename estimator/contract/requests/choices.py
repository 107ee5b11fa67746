"""What is asked beside a job: the pricebook, the date, and the estimator's choices."""

from __future__ import annotations

from typing import Any

from marshmallow import RAISE, Schema, fields, post_load, validates_schema

from estimator import job as records
from estimator.contract.faults import disallowed
from estimator.contract.requests.fields import Bool, Day, Dec, Inner, Int, Many, Named, OneOf, Quantity, Text
from estimator.contract.requests.places import PlaceSchema
from estimator.contract.requests.posted_job.arrangement import ArrangementWord
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.contract.requests.record import RecordSchema
from estimator.errors import MISSING
from estimator.job import MATERIALS
from estimator.places import Place
from estimator.sentences import say

SHARE = {"anyOf": [{"type": "string"}, {"type": "number"}]}


class OverrideSchema(RecordSchema):
    """One failed check that may stand, named by its code and place, with the reason."""

    record = records.CheckOverride
    code = Text(
        80, shortest=1, required=True, about="The check's stable name, as an answer tells it.", example="rail_overhang"
    )
    place = Inner(PlaceSchema, "Its place, as an answer tells it.")
    where = Text(
        1_000,
        about="Instead of ``place``: the place in the words of version 0.1, whose choices are still read.",
        example="South / A / row 3 / rail 1",
        metadata={"deprecated": True},
    )
    reason = Text(
        1_000, shortest=1, required=True, about="Why it is overridden; the quote prints it.", example="checked on site"
    )

    option = OneOf(
        "A",
        "B",
        "C",
        about="Letter of the option whose check it is, where the quote has options; left out, every option that has "
        "this check at this place.",
    )

    @validates_schema
    def one_place(self, loaded: dict[str, Any], **_: object) -> None:
        """The place is named once, as facts or in the old words."""
        if ("place" in loaded) == ("where" in loaded):
            raise disallowed(MISSING, say("the place of the check, as the answer shows it"), "place")

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> records.CheckOverride:
        """The override, with its place."""
        place = loaded.get("place") or Place(told=loaded.get("where", ""))
        return records.CheckOverride(loaded["code"], place, loaded["reason"], option=loaded.get("option", ""))


class LineChangeSchema(RecordSchema):
    """A change to one part's line."""

    record = records.LineChange
    part = Text(80, shortest=1, required=True, about="The part whose line is changed.", example="XB-40")
    ordered = Int(
        0,
        10_000_000,
        allow_none=True,
        about="How many to order, spares and packs included: nothing is added to it, also on a line that is added. "
        "Fewer than the counts require, or far more, is an error that must be overridden; null leaves it to the tool.",
        example=500,
    )
    unit_price = Dec(
        allow_none=True,
        about="Price of one, with at most the decimals of the pricebook's unit prices. It wins over a list price, "
        "which wins over the price from cost; null leaves it to the pricebook.",
        example="1.85",
    )
    struck = Bool(about="Whether the line is left out.", example=False)
    reason = Text(1_000, about="Why; the workbook shows it.", example="agreed by telephone")


class OffcutSchema(RecordSchema):
    """A bar left from an earlier job."""

    record = records.OffcutOnHand
    rail = Text(80, shortest=1, required=True, about="The rail it is a piece of.", example="XR-38")
    length_mm = Quantity(
        "length", 0.0, 50_000, above=True, required=True, data_key="length", about="Its length.", example="13 ft"
    )
    price = Dec(
        required=True,
        about="What one counts for: it is the cost and the price of the line, without margin.",
        example="4.00",
    )
    count = Int(1, 100_000, about="How many there are.", example=2)


class OptionSchema(RecordSchema):
    """Another way to build the job, priced whole beside the quoted one."""

    record = records.OptionChoice
    title = Text(80, about="What the quote calls it.", example="In steel")
    arrangement = ArrangementWord(allow_none=True, about="Null is as quoted.")
    material = OneOf(*MATERIALS, allow_none=True, about="Material of brackets and rails; null is as quoted.")
    bracket = Text(
        80, shortest=1, allow_none=True, about="Part of the bracket; null leaves it to the tool.", example="XB-40"
    )
    rail = Text(80, shortest=1, allow_none=True, about="The rail; null leaves it to the tool.", example="XR-38")


class AlternateSchema(RecordSchema):
    """Something that the customer may add."""

    record = records.Alternate
    part = Text(
        80, shortest=1, required=True, about="A part of the pricebook that the job does not need.", example="XS-9"
    )
    quantity = Int(1, 1_000_000, required=True, about="How many, packs included: nothing is added.", example=20)
    included = Bool(about="Whether it is in the total; else it stands beside it.", example=False)
    note = Text(500, about="What it is for, as the quote prints it.", example="spare clips for later rows")


class ProofSchema(Schema):
    """How long the search for the cut plan goes on."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    seconds = Int(
        1,
        3_600,
        required=True,
        about="Until the plan is proven, or for so many seconds.",
        example=60,
        metadata={"x-unit": "s"},
    )


class ChoicesSchema(Schema):
    """Pricebook, date and choices; loads into ``pricebook``, ``edition``, ``priced_on`` and ``choices``."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    pricebook = Text(
        80,
        shortest=1,
        allow_none=True,
        about="Id of the pricebook; null takes the one that fits the site's country.",
        example="hanse-eu",
    )
    edition = Text(
        80,
        shortest=1,
        allow_none=True,
        about="Its edition; null takes the one in force on the day of pricing.",
        example="2026-12",
    )
    priced_on = Day(allow_none=True, about="The day whose prices hold; null is today.", example="2027-03-15")
    arrangement = ArrangementWord(allow_none=True, about="Null leaves it to the job, and then to the tool.")
    material = OneOf(
        *MATERIALS,
        allow_none=True,
        about="Material of brackets and rails; null leaves it to the job, and then to the tool.",
    )
    margin = Dec(
        "0",
        "1",
        below=True,
        allow_none=True,
        about="Margin on the cost, as a share of the price; a list price or a price given for a part wins over it. "
        "Null is the pricebook's way of pricing.",
        example="0.30",
    )
    discount = Dec(
        "0",
        "1",
        allow_none=True,
        about="Discount on the sum of the lines, as a share. It takes the place of the customer's tier, and comes "
        "after the discounts of lines; freight, labour and contingency are not discounted. Null is the tier's.",
        example="0.05",
    )
    line_discounts = Named(
        Dec("0", "1"),
        1_000,
        kind=SHARE,
        about="Discounts of single parts, as shares, by part; taken off the line before the quote's own discount. "
        "A part that the pricebook does not hold is refused, one without a line here is told.",
        example={"XB-40": "0.10"},
    )
    contingency = Dec(
        "0",
        "10",
        allow_none=True,
        about="Contingency as a share of parts less discount, freight and labour, before tax; null is the pricebook's.",
        example="0.02",
    )
    labour = Bool(about="Whether labour is quoted.", example=True)
    freight = Bool(about="Whether freight is quoted.", example=True)
    validity_days = Int(
        1, 3_650, allow_none=True, about="For how many days the quote holds; null is the pricebook's.", example=30
    )
    overrides = Many(fields.Nested(OverrideSchema), 1_000, about="Failed checks to override, each with its reason.")
    line_changes = Many(fields.Nested(LineChangeSchema), 1_000, about="Changes of single lines, one for each part.")
    offcuts = Many(fields.Nested(OffcutSchema), 1_000, about="Bars left from earlier jobs, that may be cut here.")
    options = Many(
        fields.Nested(OptionSchema),
        2,
        about="Up to two further ways to build the job, priced beside the quoted one (option A) as options B and C; "
        "the acceptance names one of them.",
    )
    alternates = Many(fields.Nested(AlternateSchema), 50, about="What the customer may add, in the total or beside it.")
    notes = Text(
        5_000, lines=True, about="Notes for the customer, that the quote prints.", example="Delivery to the rear gate"
    )
    prepared_by = Text(
        200,
        about="The person who answers for the quote, as it prints; without one, the person whose account asks for it. "
        "A key's name is never printed.",
        example="A. Miller",
    )

    proof = Inner(
        ProofSchema,
        allow_none=True,
        about="Whether the search for the cut plan goes on after the answer, as an operation; a draft takes the better "
        "plan that it finds, an issued quote never does.",
    )

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> dict[str, Any]:
        """The parts an ask is made of."""
        asked = {name: loaded.pop(name, None) for name in ("pricebook", "edition", "priced_on", "proof")}
        job = {"job": loaded.pop("job")} if "job" in loaded else {}
        return {**asked, **job, "choices": records.Choices(**loaded)}


class EstimateRequestSchema(ChoicesSchema):
    """A job and choices."""

    job = Inner(JobSchema, required=True, about="The job.")


class ReviseSchema(ChoicesSchema):
    """New choices, as a merge patch over the old ones, and a merge patch (RFC 7396) of the job."""

    job = fields.Dict(
        metadata={
            "type": "object",
            "description": "A JSON merge patch (RFC 7396) of the job as it was quoted.",
            "examples": [{"mounting": {"material": "steel"}}],
        }
    )


class AcceptSchema(Schema):
    """Which option the customer accepted."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    option = OneOf(
        "A", "B", "C", allow_none=True, load_default=None, about="Its letter; needed where the quote has options."
    )


class IssueSchema(Schema):
    """Overrides that let failed checks stand."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    overrides = Many(
        fields.Nested(OverrideSchema),
        1_000,
        load_default=(),
        about="Failed checks to override, each with its reason.",
    )
