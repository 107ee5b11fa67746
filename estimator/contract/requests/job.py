"""A posted job to the frozen record: shape, ranges and caps. Whether a roof makes sense is the core's affair."""

from __future__ import annotations

from typing import Any, ClassVar

from babel import Locale
from marshmallow import INCLUDE, RAISE, Schema, ValidationError, fields, post_load, validates_schema

from estimator import job as records
from estimator.contract.requests.arrangement import ArrangementWord
from estimator.contract.requests.cells import OmittedCells, read_cells
from estimator.contract.requests.fields import Bool, Day, Int, Many, OneOf, Pair, Quantity, Real, Text, Word
from estimator.contract.requests.loads import LoadsSchema
from estimator.job import MATERIALS
from estimator.units import UnitFault, both_for, parse_sheet_thickness

MOST_ARRAYS = 2_000
MOST_CELLS = 200_000
LONGEST_MM = 1e7
COUNTRIES = frozenset(
    str(code)
    for code in Locale("en").territories
    if len(str(code)) == 2 and str(code).isalpha() and code not in {"EU", "UN", "ZZ"}
)
LANGUAGES = ("en", "de", "es", "fr")
BOTH = "What documents show; `both` side by side, US units first for a site in the United States, else metric first"


def length(*, above: bool = True, **kwargs: Any) -> Quantity:
    """A length on a roof, mm."""
    return Quantity("length", 0.0, LONGEST_MM, above=above, **kwargs)


def place(**kwargs: Any) -> Quantity:
    """A coordinate on a roof, mm; it may lie outside the plane, and the layout then says so."""
    return Quantity("length", -LONGEST_MM, LONGEST_MM, **kwargs)


class RecordSchema(Schema):
    """Reads one record; a field it does not know is a fault."""

    record: ClassVar[Any]

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> Any:
        """The record."""
        return self.record(**loaded)


class AddressSchema(RecordSchema):
    """Where somebody is."""

    record = records.Address
    lines = Many(Text(200), 8)
    postcode = Text(20)
    city = Text(120)
    region = Text(120)
    country = Word("[A-Z]{2}|", "a country code of ISO 3166-1, such as US", longest=2)

    @validates_schema
    def known_country(self, loaded: dict[str, Any], **_: object) -> None:
        """The code is one of ISO 3166-1."""
        if loaded.get("country") and loaded["country"] not in COUNTRIES:
            raise ValidationError(f"{loaded['country']!r} is no country code of ISO 3166-1", "country")


class CustomerSchema(RecordSchema):
    """Who asked."""

    record = records.Customer
    name = Text(200, required=True)
    contact = Text(200)
    email = Text(254)
    address = fields.Nested(AddressSchema)
    tier = Text(80)


class SiteSchema(RecordSchema):
    """Where the work is."""

    record = records.Site
    address = fields.Nested(AddressSchema)
    needed_on = Day(allow_none=True)
    freight_zone = Text(80)
    asked_loads = fields.Nested(LoadsSchema, data_key="loads", attribute="loads")

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> records.Site:
        """The record; the date stays the text it was."""
        day = loaded.pop("needed_on", None)
        return records.Site(**loaded, needed_on=day.isoformat() if day else "")


class ClampingZoneSchema(RecordSchema):
    """Where a clamp may hold a module."""

    record = records.ClampingZone
    long_side = Pair(Real(0.0, 0.5))
    short_side = Pair(Real(0.0, 0.5))


class ModuleSchema(RecordSchema):
    """One solar module."""

    record = records.Module
    name = Text(200, required=True)
    length_mm = Quantity("length", 0.0, 10_000, above=True, required=True, data_key="length")
    width_mm = Quantity("length", 0.0, 10_000, above=True, required=True, data_key="width")
    thickness_mm = Quantity("length", 0.0, 500, above=True, required=True, data_key="thickness")
    mass_kg = Quantity("mass", 0.0, 500, above=True, required=True, data_key="mass")
    power_w = Quantity("power", 0.0, 10_000, required=True, data_key="power")
    clamping_zone = fields.Nested(ClampingZoneSchema, allow_none=True)
    rated_uplift_pa = Quantity("pressure", 0.0, 1e6, above=True, allow_none=True, data_key="rated_uplift")
    rated_downward_pa = Quantity("pressure", 0.0, 1e6, above=True, allow_none=True, data_key="rated_downward")

    @validates_schema
    def longer_side_first(self, loaded: dict[str, Any], **_: object) -> None:
        """The length is the longer side."""
        if loaded.get("width_mm", 0) > loaded.get("length_mm", LONGEST_MM):
            raise ValidationError("the width is larger than the length; the length is the longer side", "width")


class RibsSchema(RecordSchema):
    """The ribs of a sheet."""

    record = records.Ribs
    spacing_mm = Quantity("length", 10, 5_000, required=True, data_key="spacing")
    first_at_mm = Quantity("length", 0.0, LONGEST_MM, required=True, data_key="first_at")
    height_mm = Quantity("length", 0.0, 500, above=True, required=True, data_key="height")
    crown_width_mm = Quantity("length", 0.0, 1_000, above=True, required=True, data_key="crown_width")
    web_angle_deg = Quantity("angle", 0.0, 90, above=True, required=True, data_key="web_angle")


class SheetSchema(RecordSchema):
    """The roof sheet."""

    record = records.Sheet
    material = OneOf("steel", "aluminium", "foam_core_steel", "foam_core_aluminium", required=True)
    thickness = fields.Raw(
        required=True,
        metadata={
            "anyOf": [{"type": "number"}, {"type": "string", "maxLength": 40}],
            "description": "A number in mm, a text of a number and a unit of length, or a gauge of steel such as 26 ga",
        },
    )
    ultimate_strength_mpa = Quantity("strength", 0.0, 5_000, above=True, allow_none=True, data_key="ultimate_strength")
    yield_strength_mpa = Quantity("strength", 0.0, 5_000, above=True, allow_none=True, data_key="yield_strength")

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
            raise ValidationError("not a number, nor a text of a number and a unit", "thickness")
        try:
            thickness_mm = parse_sheet_thickness(value, loaded["material"].removeprefix("foam_core_"))
        except UnitFault as fault:
            raise ValidationError(str(fault), "thickness") from fault
        if not 0 < thickness_mm <= 25:
            raise ValidationError(
                f"{thickness_mm:.6g} mm is out of range; allowed: above 0, at most 25 mm", "thickness"
            )
        return thickness_mm


class KeepClearSchema(RecordSchema):
    """Strips that stay free."""

    record = records.KeepClear
    eave_mm = length(above=False, data_key="eave")
    ridge_mm = length(above=False, data_key="ridge")
    left_mm = length(above=False, data_key="left")
    right_mm = length(above=False, data_key="right")


class ObstructionSchema(RecordSchema):
    """A rectangle nothing may overlap."""

    record = records.Obstruction
    name = Text(200, required=True)
    x_mm = place(required=True, data_key="x")
    y_mm = place(required=True, data_key="y")
    width_mm = length(required=True, data_key="width")
    height_mm = length(required=True, data_key="height")


class ArraySchema(Schema):
    """A block of modules: by rows and columns with cells left out, or drawn, one text for each row, top row first."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    name = Text(200, required=True)
    x_mm = place(required=True, data_key="x")
    y_mm = place(required=True, data_key="y")
    rows = Int(1, 10_000)
    columns = Int(1, 10_000)
    orientation = OneOf("portrait", "landscape", required=True)
    gap_x_mm = Quantity("length", 0.0, 10_000, required=True, data_key="gap_x")
    gap_y_mm = Quantity("length", 0.0, 10_000, required=True, data_key="gap_y")
    omit = OmittedCells(MOST_CELLS)
    cells = Many(Text(10_000), 10_000, least=1)

    @validates_schema
    def cells_agree(self, loaded: dict[str, Any], **_: object) -> None:
        """Rows, columns, omitted and drawn cells say the same."""
        read_cells(loaded)

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> records.Array:
        """The record."""
        rows, columns, omit = read_cells(loaded)
        kept = {name: value for name, value in loaded.items() if name not in {"rows", "columns", "omit", "cells"}}
        return records.Array(**kept, rows=rows, columns=columns, omit=omit)


class RoofSchema(RecordSchema):
    """One sloping face."""

    record = records.Roof
    name = Text(200, required=True)
    eave_length_mm = length(required=True, data_key="eave_length")
    slope_length_mm = length(required=True, data_key="slope_length")
    slope_deg = Quantity("angle", 0.0, 89, required=True, data_key="slope")
    ribs = fields.Nested(RibsSchema, required=True)
    sheet = fields.Nested(SheetSchema, required=True)
    keep_clear = fields.Nested(KeepClearSchema)
    obstructions = Many(fields.Nested(ObstructionSchema), 2_000)
    arrays = Many(fields.Nested(ArraySchema), MOST_ARRAYS, least=1, required=True)


class MountingSchema(RecordSchema):
    """Wishes for the mounting; null lets the tool choose."""

    record = records.Mounting
    arrangement = ArrangementWord(allow_none=True)
    rail_direction = OneOf("across_ribs", "along_ribs", allow_none=True)
    rails_per_row = Int(2, 3, allow_none=True)
    rail_overhang_mm = Quantity("length", 0.0, 2_000, allow_none=True, data_key="rail_overhang")
    clamping_position = Real(0.0, 0.5, allow_none=True)
    material = OneOf(*MATERIALS, allow_none=True)
    stagger = Bool(allow_none=True)
    max_span_mm = Quantity("length", 0.0, 20_000, above=True, allow_none=True, data_key="max_span")
    max_cantilever_mm = Quantity("length", 0.0, 20_000, above=True, allow_none=True, data_key="max_cantilever")
    bracket = Text(80, shortest=1, allow_none=True)
    rail = Text(80, shortest=1, allow_none=True)
    stock_lengths_mm = Many(
        Quantity("length", 0.0, 50_000, above=True), 50, least=1, allow_none=True, data_key="stock_lengths"
    )

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> records.Mounting:
        """The record; null is what the record takes when nothing is said."""
        return records.Mounting(**{name: value for name, value in loaded.items() if value is not None})


class JobSchema(RecordSchema):
    """A whole job."""

    record = records.Job
    reference = Text(200, shortest=1, required=True)
    title = Text(400, load_default="")
    display_units = OneOf("metric", "us", "both", metadata={"description": BOTH})
    language = OneOf(*LANGUAGES)
    customer = fields.Nested(CustomerSchema, load_default=records.Customer(""))
    site = fields.Nested(SiteSchema, load_default=records.Site())
    module = fields.Nested(ModuleSchema, required=True)
    roofs = Many(fields.Nested(RoofSchema), 500, least=1, required=True)
    mounting = fields.Nested(MountingSchema, load_default=records.Mounting())
    notes = Text(5_000, lines=True)

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
            raise ValidationError(f"{len(arrays)} arrays; allowed: at most {MOST_ARRAYS} in a job", "roofs")
        if cells > MOST_CELLS:
            raise ValidationError(f"{cells} cells; allowed: at most {MOST_CELLS} in a job", "roofs")


class JobPatchSchema(Schema):
    """A merge patch of a job: any of its fields; the whole is read once it is merged."""

    class Meta:
        """Whatever the patch holds is looked at after merging."""

        unknown = INCLUDE
