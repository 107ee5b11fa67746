"""The loads asked for, as a job posts them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields, post_load, validates_schema

from estimator.contract.faults import Disallowed
from estimator.contract.requests.fields import Bool, Inner, Many, Named, OneOf, Pair, Quantity, Real, Text
from estimator.loads.en1991.annexes import ANNEXES
from estimator.sentences import say
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

    zone = Text(40, shortest=1, required=True, about="The zone of the roof as the engineer names it.", example="edge")
    uplift_pa = Quantity(
        "pressure",
        0.0,
        1e6,
        required=True,
        data_key="uplift",
        about="Design uplift, as a positive number.",
        example=1200,
    )
    downward_pa = Quantity(
        "pressure", 0.0, 1e6, required=True, data_key="downward", about="Design load towards the roof.", example=900
    )
    along_slope_pa = Quantity(
        "pressure",
        0.0,
        1e6,
        data_key="along_slope",
        about="Design load down the slope; may be left out only where every roof has a slope of 0.",
        example=60,
    )

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> GivenPressure:
        """The record."""
        return GivenPressure(**{"along_slope_pa": None, **loaded})


class BuildingSchema(Schema):
    """The building's plan."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    length = Quantity("length", 0.0, 1e7, above=True, required=True, about="The longer side on plan.", example="180 ft")
    width = Quantity("length", 0.0, 1e7, above=True, required=True, about="The shorter side on plan.", example="80 ft")


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
    "en1991": _COMPUTED | {"terrain", "altitude", "snow_retained", "annex"},
    "given": _BUILDING | {"method", "given"},
}
"""What the loads of each standard read, besides the building's plan and the temperatures."""


class LoadsSchema(Schema):
    """Loads by a standard, or given. The core refuses what the standard asked for does not know."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    standard = OneOf(
        "asce7-16",
        "asce7-22",
        "en1991",
        "given",
        required=True,
        about="The standard that loads are calculated by; given where spans or pressures come from an engineer.",
        example="asce7-16",
    )
    method = OneOf("asd", "lrfd", about="Allowable stress (asd) or strength (lrfd) design.", example="asd")
    wind_speed = Speed(
        "speed",
        0.0,
        200,
        above=True,
        allow_none=True,
        about="Basic wind speed as the standard defines it.",
        example="115 mph",
    )
    exposure = OneOf(
        "B",
        "C",
        "D",
        *TERRAINS,
        allow_none=True,
        about="Exposure category of ASCE 7; by EN 1991 a terrain category may stand here.",
        example="C",
    )
    terrain = OneOf(*TERRAINS, allow_none=True, about="Terrain category of EN 1991-1-4.", example="III")
    mean_roof_height_mm = Quantity(
        "length",
        0.0,
        TALLEST_MM,
        above=True,
        allow_none=True,
        data_key="mean_roof_height",
        about="Mean height of the roof above the ground.",
        example="20 ft",
    )
    eave_height_mm = Quantity(
        "length",
        0.0,
        TALLEST_MM,
        above=True,
        allow_none=True,
        data_key="eave_height",
        about="Height of the eave above the ground.",
        example="18 ft",
    )
    ground_elevation_mm = Quantity(
        "length",
        -5e5,
        9e6,
        allow_none=True,
        data_key="ground_elevation",
        about="Height of the ground above the sea.",
        example=300,
    )
    topographic_factor = Real(
        0.0, 10, above=True, allow_none=True, about="Factor of hills and escarpments; null is 1.", example=1.0
    )
    risk_category = OneOf("I", "II", "III", "IV", allow_none=True, about="Risk category of ASCE 7.", example="II")
    enclosure = OneOf(
        "enclosed",
        "partially_enclosed",
        "partially_open",
        "open",
        allow_none=True,
        about="How far the building is enclosed.",
        example="enclosed",
    )
    roof_form = OneOf(
        "flat",
        "gable",
        "hip",
        "monoslope",
        allow_none=True,
        about="Form of the roof; it decides the zones.",
        example="gable",
    )
    building = Inner(BuildingSchema, allow_none=True, about="The building's plan; zones are calculated from it.")
    ground_snow_pa = Quantity(
        "pressure", 0.0, 1e5, allow_none=True, data_key="ground_snow", about="Snow on the ground.", example="30 psf"
    )
    snow_exposure = Text(
        40, allow_none=True, about="Exposure for snow, in the standard's own words.", example="partially"
    )
    thermal_factor = Real(
        0.0,
        10,
        above=True,
        allow_none=True,
        about="Thermal factor for snow; null is the standard's for a heated building.",
        example=1.0,
    )
    slippery = Bool(allow_none=True, about="Whether snow can slide off the roof (ASCE 7).", example=False)
    snow_retained = Bool(
        allow_none=True, about="Whether something keeps snow from sliding off (EN 1991).", example=False
    )
    altitude_mm = Quantity(
        "length",
        -5e5,
        9e6,
        allow_none=True,
        data_key="altitude",
        about="Height of the site above the sea, for snow.",
        example=120000,
    )
    effective_area = OneOf(
        "module",
        "attachment",
        allow_none=True,
        about="Whether the effective wind area is a module's or an attachment's.",
        example="attachment",
    )
    velocity_factor = OneOf(
        "table",
        "formula",
        allow_none=True,
        about="Whether the velocity pressure exposure coefficient comes from the table or the formula.",
        example="formula",
    )
    temperature_range_k = Pair(
        Real(-200, 200),
        allow_none=True,
        data_key="temperature_range",
        about="Least and largest change of temperature against that of installation, K.",
        example=[-30, 40],
    )
    given = Many(fields.Nested(GivenPressureSchema), 100, about="Design pressures by zone, from an engineer.")
    annex = OneOf(
        *ANNEXES,
        allow_none=True,
        about="Whose numbers count where EN 1990 and EN 1991 leave the choice to each nation; null is recommended.",
        example="recommended",
    )
    factors = Named(
        Real(-1e6, 1e6),
        100,
        kind={"type": "number"},
        about="Factors that a national annex or an engineer sets, by their symbols.",
        example={"ze": 8.5},
    )

    @validates_schema
    def each_zone_once(self, loaded: dict[str, Any], **_: object) -> None:
        """A zone is given once."""
        zones = [pressure.zone for pressure in loaded.get("given", ())]
        twice = sorted({zone for zone in zones if zones.count(zone) > 1})
        if twice:
            raise ValidationError(say("given more than once: zone {names}", names=", ".join(twice)), "given")

    @validates_schema
    def what_the_standard_reads(self, loaded: dict[str, Any], **_: object) -> None:
        """A field that the standard asked for does not read is a fault, not left out in silence."""
        reads = _READS.get(loaded.get("standard", ""))
        if reads is None:
            return
        given = {self.fields[name].data_key or name for name, value in loaded.items() if value not in (None, (), {})}
        unread = sorted(given - {"standard", "building", "temperature_range"} - {*reads})
        if unread:
            why = Disallowed(
                say("loads by {standard} do not read this", standard=loaded["standard"]), ", ".join(sorted(reads))
            )
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
