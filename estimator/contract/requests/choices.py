"""What is asked beside a job: the pricebook, the date, and the estimator's wishes."""

from __future__ import annotations

from typing import Any

from marshmallow import RAISE, Schema, fields, post_load

from estimator import job as records
from estimator.contract.requests.arrangement import ArrangementWord
from estimator.contract.requests.fields import Bool, Day, Dec, Int, Many, Named, OneOf, Quantity, Text
from estimator.contract.requests.job import JobSchema, RecordSchema
from estimator.job import MATERIALS

SHARE = {"anyOf": [{"type": "string"}, {"type": "number"}]}
GUARDED = ("margin", "discount", "line_discounts", "contingency", "line_changes", "overrides", "offcuts")
"""Choices that only roles that see costs may make: with them a client could read the cost off the price."""


class OverrideSchema(RecordSchema):
    """One failed check that may stand, named by its code and place, with the reason."""

    record = records.CheckOverride
    code = Text(80, shortest=1, required=True)
    where = Text(400, required=True)
    reason = Text(1_000, shortest=1, required=True)


class LineChangeSchema(RecordSchema):
    """A change to one part's line."""

    record = records.LineChange
    part = Text(80, shortest=1, required=True)
    ordered = Int(0, 10_000_000, allow_none=True)
    unit_price = Dec(allow_none=True)
    struck = Bool()
    reason = Text(1_000)


class OffcutSchema(RecordSchema):
    """A bar left from an earlier job."""

    record = records.OffcutOnHand
    rail = Text(80, shortest=1, required=True)
    length_mm = Quantity("length", 0.0, 50_000, above=True, required=True, data_key="length")
    price = Dec(required=True)
    count = Int(1, 100_000)


class ChoicesSchema(Schema):
    """Pricebook, date and wishes; loads into ``pricebook``, ``edition``, ``priced_on`` and ``wishes``."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    pricebook = Text(80, shortest=1, allow_none=True)
    edition = Text(80, shortest=1, allow_none=True)
    priced_on = Day(allow_none=True)
    arrangement = ArrangementWord(allow_none=True)
    material = OneOf(*MATERIALS, allow_none=True)
    margin = Dec("0", "1", below=True, allow_none=True)
    discount = Dec("0", "1", allow_none=True)
    line_discounts = Named(Dec("0", "1"), 1_000, kind=SHARE)
    contingency = Dec("0", "10", allow_none=True)
    labour = Bool()
    freight = Bool()
    validity_days = Int(1, 3_650, allow_none=True)
    overrides = Many(fields.Nested(OverrideSchema), 1_000)
    line_changes = Many(fields.Nested(LineChangeSchema), 1_000)
    offcuts = Many(fields.Nested(OffcutSchema), 1_000)
    notes = Text(5_000, lines=True)

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> dict[str, Any]:
        """The parts an ask is made of."""
        asked = {name: loaded.pop(name, None) for name in ("pricebook", "edition", "priced_on")}
        job = {"job": loaded.pop("job")} if "job" in loaded else {}
        return {**asked, **job, "wishes": records.Wishes(**loaded)}


class EstimateRequestSchema(ChoicesSchema):
    """A job and choices."""

    job = fields.Nested(JobSchema, required=True)


class ReviseSchema(ChoicesSchema):
    """New choices, as a merge patch over the old ones, and a merge patch (RFC 7396) of the job."""

    job = fields.Dict(metadata={"type": "object", "description": "A JSON merge patch of the job as it was quoted"})


class IssueSchema(Schema):
    """Overrides that let failed checks stand."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    overrides = Many(fields.Nested(OverrideSchema), 1_000, load_default=())
