"""What the array puts on the building: forces of attachments by zone, in all and by purlin line; what is not checked.

All forces count positive: uplift pulls away from the roof, downward presses on it, along acts down the slope.
"""

from __future__ import annotations

from typing import Any

from estimator.attachment.reactions import ForceSums, PurlinLine, Reactions, RoofReactions, ZoneReactions
from estimator.contract.answers.fields import Each, Number, One, Truth, Whole, Words, texts
from estimator.contract.answers.writing import Answer, Entry, Telling
from estimator.loads.actions.coverage import Covered


def _force(about: str, of: str, **more: Any) -> Number:
    return Number(about, "N", of, **{"example": 812.0, **more})


class ForceSumsSchema(Answer):
    """Several attachments: the largest force of one in each direction, and all of them over the surface they hold."""

    record = ForceSums
    attachments = Whole("How many there are.", example=40)
    area = Number("The module surface they hold.", "m2", "area_m2", example=51.2)
    largest_uplift = _force("The largest uplift of one attachment.", "uplift_n")
    largest_downward = _force("The largest downward force of one attachment.", "downward_n")
    largest_along_slope = _force("The largest force of one attachment down the slope.", "along_n", example=96.0)
    uplift_pressure = Number("All uplift over the surface.", "Pa", "uplift_pa", example=620.0)
    downward_pressure = Number("All downward force over the surface.", "Pa", "downward_pa", example=940.0)
    along_slope_pressure = Number("All force down the slope over the surface.", "Pa", "along_pa", example=88.0)


class ZoneReactionsSchema(Answer):
    """The attachments of one load zone."""

    record = ZoneReactions
    zone = Words("The zone as the standard names it.", example="2")
    forces = One("Their forces.", ForceSumsSchema, "sums")


class PurlinLineSchema(Answer):
    """What one purlin line takes, the sheet taken as simply supported between purlins."""

    record = PurlinLine
    number = Whole("Which line it is, from 1 at the eave.", example=2)
    at = Number("Its place up the slope from the eave.", "mm", "y_mm", example=1500.0)
    uplift = _force("All uplift on the line.", "uplift_n", example=6359.0)
    downward = _force("All downward force on the line.", "downward_n", example=3180.0)
    along_slope = _force("All force on the line down the slope.", "along_n", example=310.0)
    uplift_per_metre = Number("The largest uplift on a metre of it.", "N/m", "uplift_n_m", example=1026.0)
    downward_per_metre = Number("The largest downward force on a metre of it.", "N/m", "downward_n_m", example=513.0)
    along_slope_per_metre = Number("The largest force on a metre down the slope.", "N/m", "along_n_m", example=50.0)


class RoofReactionsSchema(Answer):
    """What the array puts on one roof."""

    record = RoofReactions
    roof = Words("The roof's name.", "name", example="South")
    level = Words(
        "At which level the forces are.",
        example="design values of the forces (EN 1990, 6.10): partial factors are in them",
    )
    zones = Each("By load zone.", ZoneReactionsSchema)
    total = One("All attachments of the roof; wind does not peak in all zones at once.", ForceSumsSchema)
    purlins = Each("By purlin line; empty where the job gives no purlins.", PurlinLineSchema)


class CoveredSchema(Answer):
    """One load or effect, and whether it is checked."""

    record = Covered
    what = Words("The load or effect.", example="earthquake (seismic) loads")
    checked = Truth("Whether it is checked.", example=False)
    how = Words("What that means.", example="no seismic load is computed for array, attachments or roof")


class ReactionsAnswerSchema(Answer):
    """What the array puts on the building, for the building's engineer."""

    record = Reactions
    missing = Words("Why there are none; empty where there are.", lambda it, _to: it.missing or "", example="")
    notes = texts("What else there is to know of the sums.", "notes", example=["the sums are more than the loads"])
    roofs = Each("Each roof whose loads were computed.", RoofReactionsSchema)
    coverage = Each("What is checked of loads and what is not.", CoveredSchema)


def reactions_entry(reactions: Reactions) -> Entry:
    """The reactions by themselves."""
    return ReactionsAnswerSchema.entry(reactions, Telling())
