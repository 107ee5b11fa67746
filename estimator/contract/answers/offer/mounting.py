"""The mounting that was taken, what was chosen and why, and the height under the modules."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, ClassVar, get_args

from estimator.contract.answers.fields import (
    DisplayTexts,
    Each,
    MoneyText,
    Number,
    One,
    OneWord,
    Truth,
    Values,
    Whole,
    Words,
    texts,
)
from estimator.contract.answers.writing import Answer, Entry, Source, Telling, Told
from estimator.deciding import Alternative, Decision, NotPlanned, NotPlannedCode
from estimator.estimate import Estimate
from estimator.job import ARRANGEMENTS, MATERIALS
from estimator.mounting.records import Clearance


@dataclass(frozen=True, slots=True)
class AllClearances:
    """The clearances of every roof; the lowest stands for the job."""

    roofs: Sequence[Clearance]

    @property
    def lowest(self) -> Clearance | None:
        """The roof with the least height under its modules."""
        return min(self.roofs, key=lambda each: each.under_module_mm, default=None)


class NotPlannedSchema(Answer):
    """Why no cut plan was made for an option, and what holds of it whatever the plan."""

    record = NotPlanned
    code = OneWord("Whether more checks fail in it than in what was taken, or it costs more.", get_args(NotPlannedCode))
    at_least = MoneyText("What the job would cost with it at least.", example="12610.40")
    errors = Whole("How many checks fail with it at least.", example=0)
    message = Words("The reason in a sentence.", example="not planned: costs at least 12610.40 EUR")


class AlternativeSchema(Answer):
    """One option that was tried."""

    record = Alternative
    option = Words("What was tried.", example="steel")
    total = MoneyText(
        "What the job would cost with it; null where it cannot be built, and where no cut plan was made for it.",
        null=True,
        example="12980.10",
    )
    errors = texts("The checks that fail with it.", example=[])
    not_planned = One(
        "Why no cut plan was made for it: it is no choice whatever the plan; null where it was tried in full.",
        NotPlannedSchema,
        null=True,
    )


class ChoiceSchema(Answer):
    """What was chosen for one subject, and why."""

    record = Decision
    subject = Words("What there was to choose.", example="bracket")
    chosen = Words("What was taken.", example="XB-40")
    given = Truth("Whether the job gave it.", example=False)
    why = Words("Why it was taken.", example="the cheapest of 3 that pass every check")
    alternatives = Each("What else was tried.", AlternativeSchema)


class MountingAnswerSchema(Answer):
    """The mounting that was taken."""

    record = Estimate
    arrangement = OneWord("How modules are held.", ARRANGEMENTS, "mounting.arrangement")
    rail_direction = OneWord(
        "How rails run; null without rails.", ("across_ribs", "along_ribs"), "mounting.rail_direction", null=True
    )
    material = OneWord("The material of brackets and rails.", MATERIALS, "mounting.material")
    bracket = Words("The bracket's part.", "mounting.bracket.part", example="XB-40")
    rail = Words(
        "The rail; null where there is none.",
        lambda it, _to: it.mounting.rail.rail if it.mounting.rail else None,
        null=True,
        example="XR-38",
    )
    stock_lengths = Values(
        "Lengths of bar that are cut.",
        {"type": "number", "exclusiveMinimum": 0},
        lambda it, _to: sorted({each.length_mm for each in it.mounting.stocks}),
        **{"x-unit": "mm", "example": [4267.0]},
    )
    mid_clamp = Words("The part of the clamp between modules.", "mounting.mid_clamp.part", example="XC-M")
    end_clamp = Words("The part of the clamp at the ends.", "mounting.end_clamp.part", example="XC-E")
    rails_per_row = Whole("Rails under each row (or column) of modules.", "mounting.rails_per_row", example=2)
    clamping_position = Number(
        "Where clamps hold the module, as a share of its side from the corner; null where it is left open.",
        "1",
        "mounting.clamping_position",
        null=True,
        most=0.5,
        example=0.22,
    )
    rail_overhang = Number("How far rails reach past the last module.", "mm", "mounting.rail_overhang_mm", example=50.0)
    stagger = Truth("Whether neighbouring rails take different ribs.", "mounting.stagger", example=False)
    max_span = Number("The longest span allowed.", "mm", "setting_out.limits.max_span_mm", example=1219.2)
    max_span_source = Words("What allows it.", "setting_out.limits.span_source", example="by the loads")
    max_cantilever = Number(
        "The longest overhang allowed.", "mm", "setting_out.limits.max_cantilever_mm", example=406.4
    )
    max_cantilever_source = Words("What allows it.", "setting_out.limits.cantilever_source", example="by the rail")
    display = DisplayTexts(
        "setting_out.limits", max_span=("max_span_mm", "length"), max_cantilever=("max_cantilever_mm", "length")
    )


def _window(about: str, of: Source, **more: Any) -> Values:
    return Values(
        about,
        {"type": "number"},
        of,
        **{"x-unit": "mm", "minItems": 2, "maxItems": 2, "example": [80.0, 150.0], **more},
    )


def _shown(clearance: Clearance, to: Telling) -> dict[str, object]:
    return {
        "under_module": to.text(clearance.under_module_mm, "length"),
        "window": [to.text(edge, "length") for edge in clearance.window_mm],
    }


HEIGHTS: Entry = {
    "type": "object",
    "required": ["under_module", "window"],
    "additionalProperties": False,
    "properties": {
        "under_module": {"type": "string", "description": "The height as people read it.", "examples": ["120 mm"]},
        "window": {
            "type": "array",
            "items": {"type": "string"},
            "description": "The least and the largest height wanted, as people read them.",
            "examples": [["80 mm", "150 mm"]],
        },
    },
}


class ShownHeights(Told):
    """The heights as people read them."""

    shape: ClassVar[Entry] = HEIGHTS


class RoofClearanceSchema(Answer):
    """The height under the modules of one roof, and its terms."""

    record = Clearance
    roof = Words("The roof's name.", example="South")
    rib_height = Number("Height of the ribs.", "mm", "rib_height_mm", example=38.0)
    bracket_height = Number("Height that the bracket adds.", "mm", "bracket_height_mm", example=50.0)
    rail_height = Number("Height that the rail adds; zero without one.", "mm", "rail_height_mm", example=38.0)
    under_module = Number(
        "Height from the sheet to the underside of the module.", "mm", "under_module_mm", example=120.0
    )
    window = _window("The least and the largest height wanted.", "window_mm")
    display = ShownHeights("The heights as people read them, in the job's display units.", _shown)


class ClearanceAnswerSchema(Answer):
    """The height under the modules: the lowest roof's, and each roof's."""

    record = AllClearances
    under_module = Number(
        "The least height over all roofs; null where none was found.",
        "mm",
        lambda it, _to: it.lowest.under_module_mm if it.lowest else None,
        null=True,
        example=120.0,
    )
    window = _window(
        "The least and the largest height wanted there.",
        lambda it, _to: it.lowest.window_mm if it.lowest else None,
        null=True,
    )
    display = ShownHeights(
        "The heights as people read them, in the job's display units.",
        lambda it, to: _shown(it.lowest, to) if it.lowest else None,
        optional=True,
    )
    roofs = Each("Each roof's.", RoofClearanceSchema)
