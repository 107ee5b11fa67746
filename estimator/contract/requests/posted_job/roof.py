"""A roof: its ribs, its sheet, what stays clear, its arrays."""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError, fields, post_load, validates_schema

from estimator import job as records
from estimator.contract.faults import Disallowed, disallowed
from estimator.contract.requests.fields import Inner, Many, OneOf, Quantity, Text
from estimator.contract.requests.posted_job.array import ArraySchema
from estimator.contract.requests.record import LONGEST_MM, RecordSchema, length, place
from estimator.errors import MISSING
from estimator.sentences import figure, say
from estimator.units import UnitFault, parse_sheet_thickness

MOST_ARRAYS = 2_000
MOST_OBSTRUCTIONS = 2_000


class RibsSchema(RecordSchema):
    """The ribs of a sheet."""

    record = records.Ribs
    spacing_mm = Quantity(
        "length",
        10,
        5_000,
        required=True,
        data_key="spacing",
        about="From the middle of one rib to the middle of the next.",
        example="12 in",
    )
    first_at_mm = Quantity(
        "length",
        0.0,
        LONGEST_MM,
        required=True,
        data_key="first_at",
        about="From the left end of the eave to the middle of the first rib.",
        example="6 in",
    )
    height_mm = Quantity(
        "length",
        0.0,
        500,
        above=True,
        required=True,
        data_key="height",
        about="Height of a rib above the flat of the sheet.",
        example="1.5 in",
    )
    crown_width_mm = Quantity(
        "length",
        0.0,
        1_000,
        above=True,
        required=True,
        data_key="crown_width",
        about="Width of the flat on top of a rib.",
        example="2 in",
    )
    web_angle_deg = Quantity(
        "angle",
        0.0,
        90,
        above=True,
        required=True,
        data_key="web_angle",
        about="Angle between a rib's side and the flat of the sheet.",
        example=60,
    )


class SheetSchema(RecordSchema):
    """The roof sheet."""

    record = records.Sheet
    material = OneOf(
        "steel",
        "aluminium",
        "foam_core_steel",
        "foam_core_aluminium",
        required=True,
        about="What the sheet is made of; foam_core_ stands for panels with a foam core and that metal outside.",
        example="steel",
    )
    thickness = fields.Raw(
        required=True,
        error_messages={"required": [Disallowed(MISSING, say("above 0, at most 25 mm, or a gauge such as 26 ga"))]},
        metadata={
            "anyOf": [{"type": "number", "exclusiveMinimum": 0, "maximum": 25}, {"type": "string", "maxLength": 40}],
            "description": "In mm, or a text of a number and a unit of length, or a gauge such as 26 ga.",
            "examples": ["26 ga"],
            "x-unit": "mm",
        },
    )
    ultimate_strength_mpa = Quantity(
        "strength",
        0.0,
        5_000,
        above=True,
        allow_none=True,
        data_key="ultimate_strength",
        about="Ultimate strength of the metal; null where unknown.",
        example="65 ksi",
    )
    yield_strength_mpa = Quantity(
        "strength",
        0.0,
        5_000,
        above=True,
        allow_none=True,
        data_key="yield_strength",
        about="Yield strength of the metal; null where unknown.",
        example="50 ksi",
    )

    @validates_schema
    def thickness_of_that_material(self, loaded: dict[str, Any], **_: object) -> None:
        """The thickness is a length, or a gauge of the sheet's material."""
        self._thickness(loaded)

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> records.Sheet:
        """The record, its thickness in mm."""
        thickness_mm = self._thickness(loaded)
        del loaded["thickness"]
        return records.Sheet(**loaded, thickness_mm=thickness_mm)

    def _thickness(self, loaded: dict[str, Any]) -> float:
        if "thickness" not in loaded or "material" not in loaded:
            return 0.0
        value = loaded["thickness"]
        if isinstance(value, bool) or not isinstance(value, (int, float, str)):
            raise ValidationError(say("not a number, nor a text of a number and a unit"), "thickness")
        try:
            thickness_mm = parse_sheet_thickness(value, loaded["material"].removeprefix("foam_core_"))
        except UnitFault as fault:
            raise disallowed(fault.message, fault.allowed, "thickness") from fault
        if not 0 < thickness_mm <= 25:
            raise disallowed(
                say("{value} is out of range", value=figure(thickness_mm, ".6g", " mm", "length")),
                say("above 0, at most 25 mm"),
                "thickness",
            )
        return thickness_mm


class KeepClearSchema(RecordSchema):
    """Strips that stay free."""

    record = records.KeepClear
    eave_mm = length(above=False, data_key="eave", about="Strip along the eave.", example="18 in")
    ridge_mm = length(above=False, data_key="ridge", about="Strip along the ridge.", example="36 in")
    left_mm = length(above=False, data_key="left", about="Strip along the left edge.", example="36 in")
    right_mm = length(above=False, data_key="right", about="Strip along the right edge.", example="36 in")


class ObstructionSchema(RecordSchema):
    """A rectangle nothing may overlap."""

    record = records.Obstruction
    name = Text(200, required=True, about="What it is.", example="skylight")
    x_mm = place(required=True, data_key="x", about="Its left edge, from the left end of the eave.", example=9000)
    y_mm = place(required=True, data_key="y", about="Its lower edge, up the slope from the eave.", example=3000)
    width_mm = length(required=True, data_key="width", about="Its size along the eave.", example=1200)
    height_mm = length(required=True, data_key="height", about="Its size up the slope.", example=1200)


class PurlinsSchema(RecordSchema):
    """The lines that the sheet rests on, which run along the eave."""

    record = records.Purlins
    spacing_mm = Quantity(
        "length",
        100,
        10_000,
        required=True,
        data_key="spacing",
        about="From one purlin to the next, up the slope.",
        example="5 ft",
    )
    first_at_mm = Quantity(
        "length",
        0.0,
        LONGEST_MM,
        data_key="first_at",
        about="From the eave to the first purlin, up the slope; zero if left out.",
        example="6 in",
    )


class RoofSchema(RecordSchema):
    """One sloping face."""

    record = records.Roof
    name = Text(200, required=True, about="What drawings and checks call the roof.", example="South")
    eave_length_mm = length(required=True, data_key="eave_length", about="Length along the eave.", example="160 ft")
    slope_length_mm = length(
        required=True, data_key="slope_length", about="Length up the slope, from eave to ridge.", example="42 ft"
    )
    slope_deg = Quantity(
        "angle",
        0.0,
        89,
        required=True,
        data_key="slope",
        about="Angle of the slope against the horizontal.",
        example=14,
    )
    ribs = Inner(RibsSchema, required=True, about="The sheet's ribs, which run up the slope.")
    sheet = Inner(SheetSchema, required=True, about="The metal of the sheet.")
    purlins = Inner(
        PurlinsSchema,
        allow_none=True,
        about="What the sheet rests on; where it is given, reactions are also told by purlin line.",
    )
    keep_clear = Inner(KeepClearSchema, about="Strips along the edges on which no module lies.")
    obstructions = Many(
        fields.Nested(ObstructionSchema), MOST_OBSTRUCTIONS, about="Rectangles over which no module lies."
    )
    arrays = Many(fields.Nested(ArraySchema), MOST_ARRAYS, least=1, required=True, about="Blocks of modules.")

    @validates_schema
    def purlins_on_the_plane(self, loaded: dict[str, Any], **_: object) -> None:
        """The first purlin lies on the plane."""
        purlins, slope = loaded.get("purlins"), loaded.get("slope_length_mm")
        if purlins is not None and slope is not None and purlins.first_at_mm > slope:
            found = say(
                "the first purlin at {first_at_mm} lies beyond the ridge",
                first_at_mm=figure(purlins.first_at_mm, "g", " mm", "length"),
            )
            raise disallowed(found, say("0 to {slope}", slope=figure(slope, "g", " mm", "length")), "purlins")
