"""A posted job to the frozen record: shape, ranges and caps. Whether a roof makes sense is the core's affair."""

from __future__ import annotations

from typing import Any

from marshmallow import INCLUDE, Schema, fields, post_load, validates_schema

from estimator import job as records
from estimator.contract.faults import disallowed
from estimator.contract.requests.fields import Inner, Many, OneOf, Text
from estimator.contract.requests.posted_job.array import MOST_CELLS
from estimator.contract.requests.posted_job.module import ModuleSchema
from estimator.contract.requests.posted_job.mounting import MountingSchema
from estimator.contract.requests.posted_job.roof import MOST_ARRAYS, RoofSchema
from estimator.contract.requests.posted_job.site import CustomerSchema, SiteSchema
from estimator.contract.requests.record import RecordSchema
from estimator.sentences import LANGUAGES, say
from estimator.units import both_for

MOST_ROOFS = 500

BOTH = "What documents show; `both` side by side, US units first for a site in the United States, else metric first."


class JobSchema(RecordSchema):
    """A whole job."""

    record = records.Job
    reference = Text(
        200,
        shortest=1,
        required=True,
        about="Your own name for the job; an organisation uses it once.",
        example="CRM-2041",
    )
    title = Text(400, load_default="", about="What documents call the job.", example="Cold store, phase 2")
    display_units = OneOf("metric", "us", "both", about=BOTH)
    language = OneOf(*LANGUAGES, about="Language of documents and sentences.", example="en")
    customer = Inner(CustomerSchema, load_default=records.Customer(""), about="Who asks for the quote.")
    site = Inner(SiteSchema, load_default=records.Site(), about="Where the work is, and its loads.")
    module = Inner(ModuleSchema, required=True, about="The module; a job has one kind.")
    roofs = Many(
        fields.Nested(RoofSchema), MOST_ROOFS, least=1, required=True, about="The roof planes, each with its arrays."
    )
    mounting = Inner(
        MountingSchema,
        load_default=records.Mounting(),
        about="What is decided about the mounting; what is left out or null, the tool chooses, and says why.",
    )
    notes = Text(
        5_000,
        lines=True,
        about="Notes for the crew: the setting-out sheet prints them, the quote does not.",
        example="Access from the yard only",
    )

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> records.Job:
        """The record; both systems stand in the order of the site's country, else of the customer's."""
        if loaded.get("display_units") == "both":
            country = loaded["site"].address.country or loaded["customer"].address.country
            loaded["display_units"] = both_for(country)
        return records.Job(**loaded)

    @validates_schema(skip_on_field_errors=True)
    def within_the_caps(self, loaded: dict[str, Any], **_: object) -> None:
        """Not more arrays and cells than one job may have."""
        arrays = [array for roof in loaded["roofs"] for array in roof.arrays]
        cells = sum(array.rows * array.columns for array in arrays)
        if len(arrays) > MOST_ARRAYS:
            raise disallowed(
                say("{count} arrays", count=len(arrays)), say("at most {most} in a job", most=MOST_ARRAYS), "roofs"
            )
        if cells > MOST_CELLS:
            raise disallowed(
                say("{cells} cells", cells=cells), say("at most {most} in a job", most=MOST_CELLS), "roofs"
            )


class JobPatchSchema(Schema):
    """A merge patch of a job: any of its fields; the whole is read once it is merged."""

    class Meta:
        """Whatever the patch holds is looked at after merging."""

        unknown = INCLUDE
