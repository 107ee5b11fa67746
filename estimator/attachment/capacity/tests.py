"""Tested strengths: which test applies to a sheet, and by which factor it counts.

A test applies to sheets of its own kind (a foam-core panel is a kind of its own) that are at least as thick and at
least as strong as the one tested; a thicker or stronger sheet is given no more than was tested. Among tests that apply,
those in the thickest and then strongest sheet count, and of several the least. Source: common practice, no source.
"""

from __future__ import annotations

from estimator.attachment.capacity.rail import Method
from estimator.attachment.capacity.series import FEWEST_TESTS, evaluate_series, safety_factor
from estimator.attachment.capacity.strength import SPOKEN, Direction, Strength
from estimator.errors import Finding
from estimator.job import Sheet
from estimator.places import NOWHERE, Place
from estimator.pricebook import Bracket, StrengthTest
from estimator.sentences import Sentence, figure, joined, placed, say

THICKNESS_TOLERANCE_MM = 0.005
"""Thicknesses are printed to a hundredth of a millimetre."""
STRENGTH_TOLERANCE_MPA = 0.5

Answer = tuple[Strength | None, tuple[Finding, ...]]


def strength_by_test(
    bracket: Bracket, sheet: Sheet, method: Method, direction: Direction, place: Place = NOWHERE
) -> Answer:
    """The strength from tests in one direction, or None, and what has to be said about it."""
    tests = [test for test in bracket.tests if test.direction == direction]
    serving = [test for test in tests if _serves(test, sheet)]
    if not serving:
        return None, (_missing(bracket, sheet, direction, tests, place),)
    nearest = max((test.sheet_thickness_mm, test.sheet_strength_mpa) for test in serving)
    if sheet.ultimate_strength_mpa is None:
        weakest = min(t.sheet_strength_mpa for t in serving if t.sheet_thickness_mm == nearest[0])
        nearest = (nearest[0], weakest)
    alike = [test for test in serving if (test.sheet_thickness_mm, test.sheet_strength_mpa) == nearest]
    found = [_strength(test, method, direction) for test in alike]
    known = [strength for strength in found if strength is not None]
    if not known:
        return None, (_without_factor(alike[0], bracket, direction, place),)
    said = tuple(f for test in alike for f in _notes(test, bracket, sheet, place))
    return min(known, key=lambda strength: strength.strength_n), said


def _serves(test: StrengthTest, sheet: Sheet) -> bool:
    strong = sheet.ultimate_strength_mpa
    return (
        test.sheet_material == sheet.material
        and sheet.thickness_mm >= test.sheet_thickness_mm - THICKNESS_TOLERANCE_MM
        and (strong is None or strong >= test.sheet_strength_mpa - STRENGTH_TOLERANCE_MPA)
    )


def _strength(test: StrengthTest, method: Method, direction: Direction) -> Strength | None:
    """Given factors win; else the test series; a safety factor stands for phi = 1.6 / Omega and the other way round."""
    factor, how, nominal = _factor(test, method)
    if factor is None:
        return None
    divided = method == "asd"
    value = nominal / factor if divided else nominal * factor
    sign = "/" if divided else "x"
    text = say(
        "{force} tested in {sheet} {sign} {factor} ({how})",
        force=figure(nominal, ".1f", " N", "force"),
        sheet=_spoken(test),
        sign=sign,
        factor=figure(factor, ".4g"),
        how=how,
    )
    return Strength(direction, value, nominal, factor, divided, "tests", text, test.source)


def _factor(test: StrengthTest, method: Method) -> tuple[float | None, Sentence, float]:
    own, other = test.safety_factor, test.resistance_factor
    if method != "asd":
        own, other = other, own
    name = say("safety factor") if method == "asd" else say("resistance factor")
    if own is not None:
        return own, say("{factor} of the book", factor=name), test.ultimate_n
    if len(test.results_n) >= FEWEST_TESTS:
        series = evaluate_series(test.results_n)
        factor = series.omega if method == "asd" else series.phi
        how = say("{factor} from {count} tests, AISI S100 K2.1", factor=name, count=series.n)
        return factor, how, series.mean_n
    if other is not None:
        how = say("{factor} as {number} over the other factor of the book", factor=name, number=figure(1.6))
        return safety_factor(other), how, test.ultimate_n
    return None, say(""), test.ultimate_n


def _notes(test: StrengthTest, bracket: Bracket, sheet: Sheet, place: Place) -> tuple[Finding, ...]:
    notes: list[Finding] = []
    if sheet.ultimate_strength_mpa is None:
        text = say(
            "the sheet's ultimate strength is not given; bracket {bracket} was tested in {sheet}, and the sheet has to "
            "be at least as strong",
            bracket=bracket.part,
            sheet=_spoken(test),
        )
        told, strength = placed(place, text), test.sheet_strength_mpa
        notes.append(Finding("sheet_strength_assumed", "warning", told, place, say("not given"), strength, "N/mm2"))
    taken_from_series = test.safety_factor is None and test.resistance_factor is None
    if taken_from_series and len(test.results_n) >= FEWEST_TESTS:
        scattered = evaluate_series(test.results_n).scattered
        if scattered:
            text = say(
                "bracket {bracket}, {load} in {sheet}: {count} of {all} results lie more than 15 % from their "
                "mean; three more tests are required",
                bracket=bracket.part,
                load=SPOKEN[test.direction],
                sheet=_spoken(test),
                count=len(scattered),
                all=len(test.results_n),
            )
            notes.append(Finding("test_series_scattered", "warning", text, place, len(scattered), 0))
    return tuple(notes)


def _missing(bracket: Bracket, sheet: Sheet, direction: Direction, tests: list[StrengthTest], place: Place) -> Finding:
    """Nothing applies: an error that names the sheets with values; a warning for forces never tested in the plane."""
    known = sorted({(test.sheet_material, test.sheet_thickness_mm, _spoken(test)) for test in tests})
    has = joined("; ", (spoken for _, _, spoken in known))
    wanted = _sheet(sheet.thickness_mm, sheet.material, sheet.ultimate_strength_mpa)
    text = say(
        "bracket {bracket} has no strength for {load} in {sheet}; {tested}",
        bracket=bracket.part,
        load=SPOKEN[direction],
        sheet=wanted,
        tested=say("it was tested in {sheets}", sheets=has)
        if has
        else say("it was not tested in any sheet; the load is not checked"),
    )
    in_plane = direction in ("along_slope", "across_slope")
    severity = "warning" if in_plane and not tests else "error"
    code, told = f"no_strength_{direction}", placed(place, text)
    return Finding(code, severity, told, place, wanted, has or say("none"))  # type: ignore[arg-type]


def _without_factor(test: StrengthTest, bracket: Bracket, direction: Direction, place: Place) -> Finding:
    text = say(
        "bracket {bracket}, {load} in {sheet}: the book gives neither a factor nor at least {count} single results to "
        "derive one from",
        bracket=bracket.part,
        load=SPOKEN[direction],
        sheet=_spoken(test),
        count=FEWEST_TESTS,
    )
    found = len(test.results_n)
    return Finding(f"no_strength_{direction}", "error", placed(place, text), place, found, FEWEST_TESTS)


_KINDS = {
    "steel": say("steel sheet"),
    "aluminium": say("aluminium sheet"),
    "foam_core_steel": say("steel face of a foam-core panel"),
    "foam_core_aluminium": say("aluminium face of a foam-core panel"),
}


def _spoken(test: StrengthTest) -> Sentence:
    return _sheet(test.sheet_thickness_mm, test.sheet_material, test.sheet_strength_mpa)


def _sheet(thickness_mm: float, material: str, strength_mpa: float | None) -> Sentence:
    thickness = figure(thickness_mm, ".2f", " mm", "length")
    if strength_mpa is None:
        return joined(" ", (thickness, _KINDS[material]))
    strength = figure(strength_mpa, ".0f", " N/mm2", "strength")
    return say("{thickness} {sheet} of {strength}", thickness=thickness, sheet=_KINDS[material], strength=strength)
