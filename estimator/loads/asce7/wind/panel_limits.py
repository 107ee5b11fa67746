"""The limits within which ASCE 7 clause 29.4.4 speaks of a roof panel; each one broken or unknown is a finding."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.errors import Finding
from estimator.job import Array, Module, Roof
from estimator.loads.actions.assumptions import NOT_GIVEN
from estimator.loads.actions.panel_setting import PanelSetting
from estimator.places import Place
from estimator.sentences import Measures, Sentence, figure, say
from estimator.site_loads import AsceLoads

OMEGA_MOST_DEG = 2.0
H2_MOST_MM = 254.0
GAP_LEAST_MM = 6.35
CHORD_MOST_MM = 6.7 * 304.8
_ENCLOSURES = {"open": say("open"), "partially_open": say("partially_open")}


def array_extent(array: Array, module: Module) -> tuple[float, float, float, float]:
    """Left, lower, right and upper edge of an array on its plane, mm."""
    w, h = (
        (module.width_mm, module.length_mm) if array.orientation == "portrait" else (module.length_mm, module.width_mm)
    )
    right = array.left_of(array.columns - 1, w) + w
    return array.x_mm, array.y_mm, right, array.bottom_of(array.rows - 1, h) + h


def edge_distance_mm(roof: Roof, module: Module) -> float:
    """The least distance of any array from an edge of its plane (eave, rakes, ridge or high eave), mm."""
    found = []
    for array in roof.arrays:
        left, low, right, high = array_extent(array, module)
        found += [left, low, roof.eave_length_mm - right, roof.slope_length_mm - high]
    return min(found, default=float("inf"))


def panel_findings(loads: AsceLoads, roof: Roof, module: Module, setting: PanelSetting) -> list[Finding]:
    """Every limit of the clause that this roof breaks, or that cannot be checked.

    Source: ASCE 7-16 clause 29.4.4 [found]; the distance of 2 h2 from the edges [from memory].
    """
    gap = min((min(a.gap_x_mm, a.gap_y_mm) for a in roof.arrays), default=GAP_LEAST_MM)
    chord = max(module.length_mm, module.width_mm)
    checks = [
        _limit(
            "panel_tilt", roof, say("tilt of the panels to the roof"), setting.tilt_to_roof_deg, OMEGA_MOST_DEG, "deg"
        ),
        _limit(
            "panel_chord", roof, say("distance between gaps (longer side of the module)"), chord, CHORD_MOST_MM, "mm"
        ),
        _limit("panel_gap", roof, say("gap between panels"), gap, GAP_LEAST_MM, "mm", least=True),
    ]
    if setting.height_mm is None:
        checks.append(_unknown("panel_height", roof, say("the height of the panels above the roof is not known here")))
    else:
        distance = edge_distance_mm(roof, module)
        checks.append(_limit("panel_height", roof, say("height above the roof"), setting.height_mm, H2_MOST_MM, "mm"))
        what = say("distance of the array from the roof's edges and ridge")
        checks.append(_limit("panel_edge_distance", roof, what, distance, 2 * setting.height_mm, "mm", least=True))
    checks.append(_enclosure(loads, roof))
    return [check for check in checks if check is not None]


def within_the_clause(limits: Sequence[Finding]) -> bool:
    """Whether a roof keeps every limit of the clause, all of them known."""
    return all(finding.code == "building_enclosure" and finding.severity == "note" for finding in limits)


def _limit(
    code: str, roof: Roof, what: Sentence, found: float, allowed: float, unit: str, *, least: bool = False
) -> Finding | None:
    if (found >= allowed - 1e-6) if least else (found <= allowed + 1e-6):
        return None
    measures: Measures = "length" if unit == "mm" else "angle"
    message = say(
        "{where}: {what} is {found}; ASCE 7 29.4.4 covers at least {allowed}. The panel pressures are beyond the "
        "scope of the clause; an engineer must confirm them"
        if least
        else "{where}: {what} is {found}; ASCE 7 29.4.4 covers at most {allowed}. The panel pressures are beyond "
        "the scope of the clause; an engineer must confirm them",
        where=Place(roof=roof.name),
        what=what,
        found=figure(found, ".4g", f" {unit}", measures),
        allowed=figure(allowed, ".4g", f" {unit}", measures),
    )
    return Finding(code, "warning", message, Place(roof=roof.name), round(found, 3), round(allowed, 3), unit)


def _unknown(code: str, roof: Roof, what: Sentence) -> Finding:
    where = Place(roof=roof.name)
    return Finding(code, "note", say("{where}: {what}; ASCE 7 29.4.4 has a limit on it", where=where, what=what), where)


def _enclosure(loads: AsceLoads, roof: Roof) -> Finding | None:
    allowed, where = say("enclosed or partially enclosed"), Place(roof=roof.name)
    if loads.enclosure is None:
        text = say(
            "{where}: the building is taken to be enclosed or partially enclosed, as ASCE 7 29.4.4 asks", where=where
        )
        return Finding("building_enclosure", "note", text, where, NOT_GIVEN, allowed)
    if loads.enclosure.replace("_", " ") in ("enclosed", "partially enclosed"):
        return None
    enclosure = _ENCLOSURES.get(loads.enclosure, loads.enclosure)
    text = say(
        "{where}: the building is {enclosure}; ASCE 7 29.4.4 covers enclosed or partially enclosed buildings only",
        where=where,
        enclosure=enclosure,
    )
    return Finding("building_enclosure", "error", text, where, enclosure, allowed)
