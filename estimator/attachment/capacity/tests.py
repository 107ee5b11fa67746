"""Tested strengths: which test applies to a sheet and a use, and by which factor it counts.

A test applies to sheets of its own kind (a foam-core panel is a kind of its own) that are at least as thick and at
least as strong as the one tested; a thicker or stronger sheet is given no more than was tested. It applies to the use
it was made in and for gentler ones (``use``). Among tests that apply, those in the thickest and then strongest sheet
count, of them those made in just this use, and of several the least. Source: common practice, no source.
"""

from __future__ import annotations

from estimator.attachment.capacity.partial_factors import in_sheet
from estimator.attachment.capacity.rail import Method
from estimator.attachment.capacity.safety_format import Rated, Tested, rated
from estimator.attachment.capacity.series import FEWEST_TESTS, evaluate_series
from estimator.attachment.capacity.strength import SPOKEN, Direction, Strength
from estimator.attachment.capacity.use import Use, made_in, serves_use, use_words
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
    bracket: Bracket,
    sheet: Sheet,
    method: Method,
    direction: Direction,
    place: Place = NOWHERE,
    use: Use | None = None,
) -> Answer:
    """The strength from tests in one direction, or None, and what has to be said about it; without use any serves."""
    alike = serving_tests(bracket, sheet, direction, use)
    if not alike:
        return None, (_missing(bracket, sheet, direction, place, use),)
    found = [_strength(test, method, direction) for test in alike]
    known = [strength for strength in found if strength is not None]
    if not known:
        return None, (_without_factor(alike[0], bracket, direction, place),)
    said = tuple(f for test in alike for f in _notes(test, bracket, sheet, place, method))
    height = use.height_mm if use else 0.0
    return min(known, key=lambda strength: strength.at_height_n(height)), said


def serving_tests(bracket: Bracket, sheet: Sheet, direction: Direction, use: Use | None) -> tuple[StrengthTest, ...]:
    """The tests that count in one direction: in the sheet nearest to this one, of just this use if there are any."""
    tests = [test for test in bracket.tests if test.direction == direction and _serves(test, sheet)]
    serving = [test for test in tests if use is None or serves_use(test, use, direction)]
    if not serving:
        return ()
    nearest = max((test.sheet_thickness_mm, test.sheet_strength_mpa) for test in serving)
    if sheet.ultimate_strength_mpa is None:
        weakest = min(t.sheet_strength_mpa for t in serving if t.sheet_thickness_mm == nearest[0])
        nearest = (nearest[0], weakest)
    alike = tuple(test for test in serving if (test.sheet_thickness_mm, test.sheet_strength_mpa) == nearest)
    here = tuple(test for test in alike if use is not None and made_in(test, use))
    return here or alike


def _serves(test: StrengthTest, sheet: Sheet) -> bool:
    strong = sheet.ultimate_strength_mpa
    return (
        test.sheet_material == sheet.material
        and sheet.thickness_mm >= test.sheet_thickness_mm - THICKNESS_TOLERANCE_MM
        and (strong is None or strong >= test.sheet_strength_mpa - STRENGTH_TOLERANCE_MPA)
    )


def tested_of(test: StrengthTest) -> Tested:
    """What a test gives, in the form every tested strength has."""
    return Tested(test.ultimate_n, test.results_n, test.characteristic_n, test.safety_factor, test.resistance_factor)


def _strength(test: StrengthTest, method: Method, direction: Direction) -> Strength | None:
    found = rated(tested_of(test), method, in_sheet(test.sheet_material))
    if found is None:
        return None
    return Strength(
        direction,
        found.value,
        found.nominal,
        found.factor,
        found.divided,
        "tests",
        _derivation(test, found),
        test.source,
        test.load_height_mm if direction == "along_slope" else None,
    )


def _derivation(test: StrengthTest, found: Rated) -> Sentence:
    text = say(
        "{force} tested in {sheet} {sign} {factor} ({how})",
        force=figure(found.nominal, ".1f", " N", "force"),
        sheet=_spoken(test),
        sign="/" if found.divided else "x",
        factor=figure(found.factor, ".4g"),
        how=found.how,
    )
    if test.arrangement is None:
        return text
    return joined("; ", (text, use_words(test.arrangement, test.rail_direction, test.load_height_mm)))


def _notes(test: StrengthTest, bracket: Bracket, sheet: Sheet, place: Place, method: Method) -> tuple[Finding, ...]:
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
    if taken_from_series and method != "en" and len(test.results_n) >= FEWEST_TESTS:
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


def _missing(bracket: Bracket, sheet: Sheet, direction: Direction, place: Place, use: Use | None) -> Finding:
    """Nothing applies: an error that names the sheets with values; a warning for forces never tested in the plane."""
    tests = [test for test in bracket.tests if test.direction == direction]
    known = sorted(
        {(test.sheet_material, test.sheet_thickness_mm, str(_as_tested(test, use))): test for test in tests}.items()
    )
    has = joined("; ", (_as_tested(test, use) for _, test in known))
    wanted = _sheet(sheet.thickness_mm, sheet.material, sheet.ultimate_strength_mpa)
    if use is not None:
        wanted = joined(", ", (wanted, use_words(use.arrangement, use.rail_direction, None)))
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


def _as_tested(test: StrengthTest, use: Use | None) -> Sentence:
    if use is None or test.arrangement is None:
        return _spoken(test)
    return joined(", ", (_spoken(test), use_words(test.arrangement, test.rail_direction, None)))


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
