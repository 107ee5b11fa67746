"""Whether a bracket fits a rib and a sheet, in words that name what does not."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from estimator.job import DisplayUnits, Roof
from estimator.pricebook import Bracket, Range
from estimator.sentences import Figure, Sentence, joined, say
from estimator.units import as_text, side_by_side, systems_of

_TOLERANCE = 0.001
_SHEET_TOLERANCE_MM = 0.005
"""Sheet thicknesses are stated to a hundredth of a millimetre; half of that may be rounding."""


Aspect = Literal["crown_width", "rib_height", "web_angle", "sheet_material", "sheet_thickness"]


@dataclass(frozen=True, slots=True)
class Misfit:
    """One thing of a roof that a bracket does not take: which, and both in words."""

    aspect: Aspect
    words: Sentence


def misfits(bracket: Bracket, roof: Roof, units: DisplayUnits = "metric") -> tuple[Misfit, ...]:
    """Everything of a roof's ribs and sheet that the bracket does not take; empty where it fits.

    Checked are the width of the crown, the height of the rib, the angle of its webs, the sheet's material and its
    thickness. Source: common practice, no source.
    """
    return tuple(_misfits(bracket, roof, units))


def _misfits(bracket: Bracket, roof: Roof, units: DisplayUnits) -> Iterator[Misfit]:
    def mm(length: float) -> Figure:
        return as_text(length, "length", units)

    def degrees(angle: float) -> Figure:
        return as_text(angle, "angle", units)

    ribs, sheet = roof.ribs, roof.sheet
    yield from _outside("crown_width", ribs.crown_width_mm, bracket, bracket.crown_width_mm, mm)
    yield from _outside("rib_height", ribs.height_mm, bracket, bracket.rib_height_mm, mm)
    yield from _outside("web_angle", ribs.web_angle_deg, bracket, bracket.web_angle_deg, degrees)
    if sheet.material not in bracket.sheet_materials:
        takes = joined(", ", (_MATERIALS[material] for material in sorted(bracket.sheet_materials)))
        what = say("sheet of {material}", material=_MATERIALS[sheet.material])
        words = say("{what}, bracket {bracket} takes {materials}", what=what, bracket=bracket.part, materials=takes)
        yield Misfit("sheet_material", words)
    yield from _outside("sheet_thickness", sheet.thickness_mm, bracket, bracket.sheet_thickness_mm, _thickness(units))


_NAMES: dict[Aspect, Sentence] = {
    "crown_width": say("crown"),
    "rib_height": say("rib height"),
    "web_angle": say("web angle"),
    "sheet_thickness": say("sheet"),
}
_MATERIALS = {
    "steel": say("steel"),
    "aluminium": say("aluminium"),
    "foam_core_steel": say("foam core faced with steel"),
    "foam_core_aluminium": say("foam core faced with aluminium"),
}


def _thickness(units: DisplayUnits) -> Callable[[float], Figure]:
    """Sheet thicknesses need more places than lengths."""
    texts: dict[str, Callable[[float], str]] = {
        "us": lambda thickness: f"{thickness / 25.4:.4f} in",
        "metric": lambda thickness: f"{thickness:.2f} mm",
    }

    def written(thickness: float) -> Figure:
        text = side_by_side([texts[system](thickness) for system in systems_of(units)])
        return Figure(text, thickness, "length")

    return written


def _outside(
    aspect: Aspect, found: float, bracket: Bracket, allowed: Range, text: Callable[[float], Figure]
) -> Iterator[Misfit]:
    tolerance = _SHEET_TOLERANCE_MM if aspect == "sheet_thickness" else _TOLERANCE
    if not allowed[0] - tolerance <= found <= allowed[1] + tolerance:
        words = say(
            "{what}, bracket {bracket} takes {least} to {most}",
            what=joined(" ", (_NAMES[aspect], text(found))),
            bracket=bracket.part,
            least=text(allowed[0]),
            most=text(allowed[1]),
        )
        yield Misfit(aspect, words)
