"""Choices for the mounting."""

from __future__ import annotations

from typing import Any

from marshmallow import post_load

from estimator import job as records
from estimator.contract.requests.fields import Bool, Int, Many, OneOf, Quantity, Real, Text
from estimator.contract.requests.posted_job.arrangement import ArrangementWord
from estimator.contract.requests.record import RecordSchema
from estimator.job import MATERIALS


class MountingSchema(RecordSchema):
    """Choices for the mounting; null lets the tool choose."""

    record = records.Mounting
    arrangement = ArrangementWord(
        allow_none=True,
        about="Null lets the tool choose the cheapest that passes every check.",
    )
    rail_direction = OneOf(
        "across_ribs",
        "along_ribs",
        allow_none=True,
        about="Whether rails run across the ribs or along them; null lets the tool choose.",
    )
    rails_per_row = Int(
        2, 3, allow_none=True, about="Rails under each row of modules; null lets the tool choose.", example=2
    )
    rail_overhang_mm = Quantity(
        "length",
        0.0,
        2_000,
        allow_none=True,
        data_key="rail_overhang",
        about="How far rails reach past the last module; null is 50 mm.",
        example=50,
    )
    clamping_position = Real(
        0.0,
        0.5,
        allow_none=True,
        about="Where clamps hold a module, as a share of its side from the corner; null lets the tool choose.",
        example=0.22,
    )
    material = OneOf(*MATERIALS, allow_none=True, about="Material of brackets and rails; null lets the tool choose.")
    stagger = Bool(allow_none=True, about="Whether neighbouring rails take different ribs.", example=False)
    max_span_mm = Quantity(
        "length",
        0.0,
        20_000,
        above=True,
        allow_none=True,
        data_key="max_span",
        about="Longest span between two attachments; null lets the loads decide.",
        example="48 in",
    )
    max_cantilever_mm = Quantity(
        "length",
        0.0,
        20_000,
        above=True,
        allow_none=True,
        data_key="max_cantilever",
        about="Longest overhang past the last attachment; null lets the loads decide.",
        example="16 in",
    )
    bracket = Text(
        80, shortest=1, allow_none=True, about="Part of the bracket; null lets the tool choose.", example="XB-40"
    )
    rail = Text(80, shortest=1, allow_none=True, about="The rail; null lets the tool choose.", example="XR-38")
    stock_lengths_mm = Many(
        Quantity("length", 0.0, 50_000, above=True),
        50,
        least=1,
        allow_none=True,
        data_key="stock_lengths",
        about="Lengths of bar that may be cut; null is every length the pricebook has.",
        example=["14 ft"],
    )

    spans_given_by = Text(
        200,
        allow_none=True,
        about="Who answers for span and overhang; needed where no loads are computed, and printed.",
        example="An engineer's office",
    )

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> records.Mounting:
        """The record; null is what the record takes when nothing is said."""
        return records.Mounting(**{name: value for name, value in loaded.items() if value is not None})
