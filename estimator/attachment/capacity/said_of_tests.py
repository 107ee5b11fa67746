"""What has to be said of the tests a bracket's strengths come from: what they do not tell, and the format they lack."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from estimator.attachment.capacity.annex_d import FEWEST_RESULTS
from estimator.attachment.capacity.rail import Method
from estimator.attachment.capacity.strength import SPOKEN, Direction
from estimator.attachment.capacity.tests import serving_tests, tested_of
from estimator.attachment.capacity.use import Use, unsaid
from estimator.errors import Finding
from estimator.job import Sheet
from estimator.places import Place
from estimator.pricebook import Bracket, StrengthTest
from estimator.sentences import figure, joined, placed, say


def about_tests(
    bracket: Bracket, sheet: Sheet, method: Method, directions: Sequence[Direction], place: Place, use: Use | None
) -> tuple[Finding, ...]:
    """One finding a kind, whatever the number of directions it is about.

    Args:
        bracket: with its tests.
        sheet: the roof's.
        method: how strengths are found.
        directions: those whose strength comes from tests.
        place: the roof.
        use: how the bracket is used; without it nothing is said of the use in the tests.

    """
    tests = {each: serving_tests(bracket, sheet, each, use) for each in directions}
    found = list(_not_characteristic(bracket, tests, place)) if method == "en" else []
    if use is not None:
        found += _use_not_said(bracket, [test for some in tests.values() for test in some], place, use)
    return tuple(found)


def _not_characteristic(
    bracket: Bracket, tests: dict[Direction, tuple[StrengthTest, ...]], place: Place
) -> Iterator[Finding]:
    lacking = [way for way, some in tests.items() if any(not tested_of(test).has_characteristic for test in some)]
    if not lacking:
        return
    text = say(
        "bracket {bracket}, {loads}: the pricebook gives neither a characteristic value nor at least {count} single "
        "results, which EN 1990 Annex D asks for; the pricebook's factor on the mean is used instead",
        bracket=bracket.part,
        loads=joined(", ", (SPOKEN[way] for way in lacking)),
        count=FEWEST_RESULTS,
    )
    yield Finding("no_characteristic_strength", "error", placed(place, text), place, 0, FEWEST_RESULTS)


def _use_not_said(bracket: Bracket, tests: Sequence[StrengthTest], place: Place, use: Use) -> Iterator[Finding]:
    missing = list(dict.fromkeys(each for test in tests for each in unsaid(test)))
    if not missing:
        return
    text = say(
        "bracket {bracket}: the pricebook does not say how it was used in its tests ({what}); not checked, taken as "
        "used here: {use}",
        bracket=bracket.part,
        what=joined(", ", missing),
        use=use.words,
    )
    yield Finding("test_use_not_checked", "warning", placed(place, text), place, say("not given"))


def moment_not_checked(bracket: Bracket, place: Place, use: Use) -> Finding:
    """Screws tell the force along the slope that a bracket carries, not the moment it is carried with."""
    text = say(
        "bracket {bracket}: its strength along the slope is computed from its screws; the moment of that force, "
        "{height} above the rib, is not checked",
        bracket=bracket.part,
        height=figure(use.height_mm, ".0f", " mm", "length"),
    )
    return Finding("bracket_moment_not_checked", "warning", placed(place, text), place, use.height_mm, unit="mm")
