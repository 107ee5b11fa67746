"""The loads asked for, as a job posts them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields, post_load, validates_schema

from estimator.contract.requests.fields import Bool, Many, Named, OneOf, Pair, Quantity, Real, Text
from estimator.site_loads import AsceLoads, Building, EnLoads, GivenLoads, GivenPressure, Loads
from estimator.units import parse

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


class Speed(Quantity):
    """A wind speed in both units that standards are written in, each made of what was posted."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Any:
        m_s = super()._deserialize(value, attr, data, **kwargs)
        return {"m/s": m_s, "mph": parse(value, "speed", into="mph")}


_BUILDING = frozenset({"mean_roof_height", "eave_height", "roof_form"})
_COMPUTED = _BUILDING | {
    "wind_speed", "exposure", "ground_snow", "snow_exposure", "thermal_factor", "effective_area", "factors",
}  # fmt: skip
_ASCE = _COMPUTED | {
    "method", "ground_elevation", "topographic_factor", "risk_category", "enclosure", "velocity_factor", "slippery",
}  # fmt: skip
_READS: dict[str, frozenset[str]] = {
    "asce7-16": _ASCE,
    "asce7-22": _ASCE,
    "en1991": _COMPUTED | {"terrain", "altitude", "snow_retained"},
    "given": _BUILDING | {"method", "given"},
}
"""What the loads of each standard read, besides the building's plan and the temperatures."""


class LoadsSchema(Schema):
    """Loads by a standard, or given. The core refuses what the standard asked for does not know."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    standard = OneOf("asce7-16", "asce7-22", "en1991", "given", required=True)
    method = OneOf("asd", "lrfd")
    wind_speed = Speed("speed", 0.0, 200, above=True, allow_none=True)
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

    @validates_schema
    def what_the_standard_reads(self, loaded: dict[str, Any], **_: object) -> None:
        """A field that the standard asked for does not read is a fault, not left out in silence."""
        reads = _READS.get(loaded.get("standard", ""))
        if reads is None:
            return
        given = {self.fields[name].data_key or name for name, value in loaded.items() if value not in (None, (), {})}
        unread = sorted(given - {"standard", "building", "temperature_range"} - {*reads})
        if unread:
            why = f"loads by {loaded['standard']} do not read this; allowed: {', '.join(sorted(reads))}"
            raise ValidationError({name: [why] for name in unread})

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> Loads:
        """The record of the standard asked for."""
        standard = loaded.pop("standard")
        building = loaded.pop("building", None) or {}
        loaded["building"] = Building(
            mean_roof_height_mm=loaded.pop("mean_roof_height_mm", None),
            eave_height_mm=loaded.pop("eave_height_mm", None),
            roof_form=loaded.pop("roof_form", None),
            length_mm=building.get("length"),
            width_mm=building.get("width"),
        )
        speed = loaded.pop("wind_speed", None) or {}
        if standard == "given":
            return GivenLoads(loaded.pop("given", ()), **_named(loaded))
        if standard == "en1991":
            exposure = loaded.pop("exposure", None)
            loaded["terrain"] = loaded.get("terrain") or exposure
            return EnLoads(wind_speed_m_s=speed.get("m/s"), **_named(loaded))
        return AsceLoads(standard, wind_speed_mph=speed.get("mph"), **_named(loaded))


def _named(loaded: dict[str, Any]) -> dict[str, Any]:
    """Without fields that hold nothing."""
    return {name: value for name, value in loaded.items() if value not in (None, ())}
