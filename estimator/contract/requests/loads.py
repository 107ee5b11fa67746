"""The loads asked for, as a job posts them."""

from __future__ import annotations

from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields, post_load, validates_schema

from estimator.contract.requests.fields import Bool, Many, Named, OneOf, Pair, Quantity, Real, Text
from estimator.job import GivenPressure, Loads

TALLEST_MM = 1e6
TERRAINS = ("0", "I", "II", "III", "IV")
"""Terrain categories of EN 1991-1-4; for that standard ``exposure`` may name one, as ``terrain`` does."""


class GivenPressureSchema(Schema):
    """Design pressures of one zone, from an engineer."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    zone = Text(40, shortest=1, required=True)
    uplift_pa = Quantity("pressure", 0.0, 1e6, required=True, data_key="uplift")
    downward_pa = Quantity("pressure", 0.0, 1e6, required=True, data_key="downward")
    along_slope_pa = Quantity("pressure", 0.0, 1e6, data_key="along_slope")

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> GivenPressure:
        """The record."""
        return GivenPressure(**loaded)


class BuildingSchema(Schema):
    """The building's plan."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    length = Quantity("length", 0.0, 1e7, above=True, required=True)
    width = Quantity("length", 0.0, 1e7, above=True, required=True)


class LoadsSchema(Schema):
    """Loads by a standard, or given. The core refuses what the standard asked for does not know."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    standard = OneOf("asce7-16", "asce7-22", "en1991", "given", required=True)
    method = OneOf("asd", "lrfd")
    wind_speed_m_s = Quantity("speed", 0.0, 200, above=True, allow_none=True, data_key="wind_speed")
    exposure = OneOf("B", "C", "D", *TERRAINS, allow_none=True)
    terrain = OneOf(*TERRAINS, allow_none=True)
    mean_roof_height_mm = Quantity("length", 0.0, TALLEST_MM, above=True, allow_none=True, data_key="mean_roof_height")
    eave_height_mm = Quantity("length", 0.0, TALLEST_MM, above=True, allow_none=True, data_key="eave_height")
    ground_elevation_mm = Quantity("length", -5e5, 9e6, allow_none=True, data_key="ground_elevation")
    topographic_factor = Real(0.0, 10, above=True, allow_none=True)
    risk_category = OneOf("I", "II", "III", "IV", allow_none=True)
    enclosure = OneOf("enclosed", "partially_enclosed", "partially_open", "open", allow_none=True)
    roof_form = OneOf("flat", "gable", "hip", "monoslope", allow_none=True)
    building = fields.Nested(BuildingSchema, allow_none=True)
    ground_snow_pa = Quantity("pressure", 0.0, 1e5, allow_none=True, data_key="ground_snow")
    snow_exposure = Text(40, allow_none=True)
    thermal_factor = Real(0.0, 10, above=True, allow_none=True)
    slippery = Bool(allow_none=True)
    snow_retained = Bool(allow_none=True)
    altitude_mm = Quantity("length", -5e5, 9e6, allow_none=True, data_key="altitude")
    effective_area = OneOf("module", "attachment", allow_none=True)
    velocity_factor = OneOf("table", "formula", allow_none=True)
    temperature_range_k = Pair(Real(-200, 200), allow_none=True, data_key="temperature_range")
    given = Many(fields.Nested(GivenPressureSchema), 100)
    factors = Named(Real(-1e6, 1e6), 100, kind={"type": "number"})

    @validates_schema
    def each_zone_once(self, loaded: dict[str, Any], **_: object) -> None:
        """A zone is given once."""
        zones = [pressure.zone for pressure in loaded.get("given", ())]
        twice = sorted({zone for zone in zones if zones.count(zone) > 1})
        if twice:
            raise ValidationError(f"given more than once: zone {', '.join(twice)}", "given")

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> Loads:
        """The record."""
        building = loaded.pop("building", None) or {}
        if loaded["standard"] == "en1991" and loaded.get("exposure") in TERRAINS and not loaded.get("terrain"):
            loaded["terrain"] = loaded.pop("exposure")
        return Loads(**loaded, building_length_mm=building.get("length"), building_width_mm=building.get("width"))
