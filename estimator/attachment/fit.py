"""Whether a bracket fits a rib and a sheet, in words that name what does not."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from estimator.job import DisplayUnits, Roof
from estimator.pricebook import Bracket, Range
from estimator.units import as_text, side_by_side, systems_of

_TOLERANCE = 0.001
_SHEET_TOLERANCE_MM = 0.005
"""Sheet thicknesses are stated to a hundredth of a millimetre; half of that may be rounding."""


def misfits(bracket: Bracket, roof: Roof, units: DisplayUnits = "metric") -> tuple[str, ...]:
    """Everything of a roof's ribs and sheet that the bracket does not take; empty where it fits.

    Checked are the width of the crown, the height of the rib, the angle of its webs, the sheet's material and its
    thickness. Source: common practice, no source.
    """
    return tuple(_misfits(bracket, roof, units))


def _misfits(bracket: Bracket, roof: Roof, units: DisplayUnits) -> Iterator[str]:
    def mm(length: float) -> str:
        return as_text(length, "length", units)

    def degrees(angle: float) -> str:
        return as_text(angle, "angle", units)

    ribs, sheet = roof.ribs, roof.sheet
    yield from _outside("crown", ribs.crown_width_mm, bracket, bracket.crown_width_mm, mm)
    yield from _outside("rib height", ribs.height_mm, bracket, bracket.rib_height_mm, mm)
    yield from _outside("web angle", ribs.web_angle_deg, bracket, bracket.web_angle_deg, degrees)
    if sheet.material not in bracket.sheet_materials:
        takes = ", ".join(_words(material) for material in sorted(bracket.sheet_materials))
        yield f"sheet of {_words(sheet.material)}, bracket {bracket.part} takes {takes}"
    yield from _outside("sheet", sheet.thickness_mm, bracket, bracket.sheet_thickness_mm, _thickness(units))


def _words(material: str) -> str:
    return material.replace("foam_core_", "foam core faced with ")


def _thickness(units: DisplayUnits) -> Callable[[float], str]:
    """Sheet thicknesses need more places than lengths."""
    texts: dict[str, Callable[[float], str]] = {
        "us": lambda thickness: f"{thickness / 25.4:.4f} in",
        "metric": lambda thickness: f"{thickness:.2f} mm",
    }
    return lambda thickness: side_by_side([texts[system](thickness) for system in systems_of(units)])


def _outside(what: str, found: float, bracket: Bracket, allowed: Range, text: Callable[[float], str]) -> Iterator[str]:
    tolerance = _SHEET_TOLERANCE_MM if what == "sheet" else _TOLERANCE
    if not allowed[0] - tolerance <= found <= allowed[1] + tolerance:
        yield f"{what} {text(found)}, bracket {bracket.part} takes {text(allowed[0])} to {text(allowed[1])}"
