"""The solar module."""

from __future__ import annotations

from typing import Any

from marshmallow import RAISE, Schema, ValidationError, post_load, validates_schema

from estimator import job as records
from estimator.contract.requests.fields import Inner, Quantity, Text
from estimator.contract.requests.posted_job.clamping import SidePlaces, shares_of_side
from estimator.contract.requests.record import LONGEST_MM, RecordSchema
from estimator.sentences import say


class ClampingZoneSchema(Schema):
    """Where a clamp may hold a module, measured from a corner; a side that is not named may not be clamped."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    long_side = SidePlaces(
        allow_none=True,
        about="From where to where clamps may hold on the long side, from the corner: shares of it from 0 to 0.5, or "
        "lengths with a unit. Left out: clamps may not hold on it.",
        example=[0.15, 0.3],
    )
    short_side = SidePlaces(allow_none=True, about="The same for the short side.", example=["0 mm", "280 mm"])


class ModuleSchema(RecordSchema):
    """One solar module."""

    record = records.Module
    name = Text(200, required=True, about="What the module is called on documents.", example="72 cells, 545 W")
    length_mm = Quantity(
        "length", 0.0, 10_000, above=True, required=True, data_key="length", about="The longer side.", example=2278
    )
    width_mm = Quantity(
        "length", 0.0, 10_000, above=True, required=True, data_key="width", about="The shorter side.", example=1134
    )
    thickness_mm = Quantity(
        "length",
        0.0,
        500,
        above=True,
        required=True,
        data_key="thickness",
        about="Height of the frame; it decides which clamps fit.",
        example=35,
    )
    mass_kg = Quantity(
        "mass", 0.0, 500, above=True, required=True, data_key="mass", about="Mass of one module.", example=28.6
    )
    power_w = Quantity(
        "power", 0.0, 10_000, required=True, data_key="power", about="Rated power of one module.", example=545
    )
    clamping_zone = Inner(
        ClampingZoneSchema, allow_none=True, about="Where clamps may hold it; null where its maker says nothing."
    )
    rated_uplift_pa = Quantity(
        "pressure",
        0.0,
        1e6,
        above=True,
        allow_none=True,
        data_key="rated_uplift",
        about="The uplift its maker allows; null where unknown.",
        example=2400,
    )
    rated_downward_pa = Quantity(
        "pressure",
        0.0,
        1e6,
        above=True,
        allow_none=True,
        data_key="rated_downward",
        about="The load its maker allows from above; null where unknown.",
        example=5400,
    )

    @validates_schema
    def longer_side_first(self, loaded: dict[str, Any], **_: object) -> None:
        """The length is the longer side."""
        if loaded.get("width_mm", 0) > loaded.get("length_mm", LONGEST_MM):
            raise ValidationError(say("the width is larger than the length; the length is the longer side"), "width")

    @validates_schema
    def zones_on_their_sides(self, loaded: dict[str, Any], **_: object) -> None:
        """A clamping zone given as lengths lies in the outer half of its side."""
        self._zone(loaded)

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> records.Module:
        """The record, its clamping zone as shares of the sides."""
        return records.Module(**{**loaded, "clamping_zone": self._zone(loaded)})

    def _zone(self, loaded: dict[str, Any]) -> records.ClampingZone | None:
        zone = loaded.get("clamping_zone")
        if zone is None or "length_mm" not in loaded or "width_mm" not in loaded:
            return None
        sides = (("long_side", loaded["length_mm"]), ("short_side", loaded["width_mm"]))
        return records.ClampingZone(*(shares_of_side(zone.get(name), name, side_mm) for name, side_mm in sides))
